"""The screens of the terminal program."""
