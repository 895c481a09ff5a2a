"""How each subject is shown: one module each, named like its folder in core.

A module has, where the subject has them: its columns; `ROWS`, the sorts of its rows with their keys; `VIEW`, its view;
`COMMANDS`, its commands of the command line. None knows the toolkit.
"""
