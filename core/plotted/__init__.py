"""Plots: what is seen at a glance and reads badly as a table, each with the table behind it."""

from core.subject import Subject

SUBJECT = Subject(
    title="Plots",
    commands={
        "plot": "cuts, takings, price, stock, drying, the season or frost odds as a plot in plain letters; --svg FILE"
    },
)
