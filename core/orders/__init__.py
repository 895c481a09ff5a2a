"""Orders: what buyers were promised, picked, handed over and paid."""

from core.subject import Subject

SUBJECT = Subject(
    title="Orders",
    kinds=(
        "ordered",
        "order item",
        "item dropped",
        "order cancelled",
        "picked",
        "put back",
        "told short",
        "packed",
        "handed over",
        "paid",
        "came back",
        "home unsold",
        "given back",
        "let off",
        "money kept",
        "priced",
    ),
    verbs={
        "order": ("order",),
        "correct": ("was", "correct"),
        "drop": ("drop", "dropped"),
        "strike": ("cancel", "canceled", "cancelled"),
        "cut": ("pick", "picked", "picking"),
        "back": ("back",),
        "handed over": ("handed",),
        "paid": ("paid", "pays", "pay"),
        "given back": ("refund", "refunded"),
        "price": ("price", "priced"),
    },
    loose={
        "short": ("short",),
        "paid": ("deposit",),
        "packed": ("packed", "pack"),
        "handed over": ("delivered", "collected"),
    },
    commands={
        "orders": "what is promised to whom by when, what is picked of it, what is owed",
        "takings": "what was taken by crop, bed, hour, buyer, outlet or week; what is owed",
        "order": "one order: its items, from which lots, its money; --slip for packing",
    },
    view="Orders",
    view_key="O",
    rows=("order",),
    asks=("orders",),
    keeps=("orders",),
    events=("orders",),
)
