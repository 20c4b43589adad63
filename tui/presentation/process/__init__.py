"""The process itself: its children, its terminal, and how it ends."""
