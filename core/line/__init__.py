"""The language of one-line entries: the same lines in the screen, in the shell and in a file."""
