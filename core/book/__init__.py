"""The record: entries in append-only logs, their snapshot, and what keeps them whole.

What is promised, and where it is kept:

- An entry that `Book.append` returned is on the disk; entries written together count together or not at all
  (`journal`, `lines`). A writing that failed is taken back and never comes back from a copy.
- Nothing in a log is ever edited. Bytes that are no entry are told with file and line, left where they are,
  and recorded beside the log when they are set aside (`damage`, `repair`).
- What a log loses comes back from book.json (`snapshot`) or from a dated backup (`backup`).
- Several processes write in one order, each told of the others' entries before its own are checked (`lock`,
  `follow`); several machines are brought together by copying their logs or by `merge`, a union by id.
- Everything can be read with a text editor, and book.json with any TinyDB (`tiny` is the book as one).

`layout` and `device` say what lies where and who writes; `disk` is all that touches a file's bytes to write
them; `audit` checks the whole; `drafts` keeps the line she was typing.
"""
