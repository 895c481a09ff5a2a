"""Orders: what buyers were promised, picked, handed over and paid."""

from core.subject import Subject

SUBJECT = Subject(
    title="Orders",
    kinds=(
        "ordered",
        "order item",
        "item dropped",
        "order cancelled",
    ),
    verbs={
        "order": ("order",),
        "correct": ("was", "correct"),
        "drop": ("drop", "dropped"),
        "strike": ("cancel", "canceled", "cancelled"),
    },
)
