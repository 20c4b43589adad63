"""Work that commands spread over processes."""
