"""The ledger of stems: every lot in every place, moved, sold, used, lost and counted."""

from core.subject import Subject

SUBJECT = Subject(
    title="Stock",
    kinds=("moved", "sold", "used", "lost", "counted"),
    verbs={
        "lost": ("lost", "lose", "loss"),
        "sold": ("sold", "sell"),
        "used": ("used", "use"),
        "move": ("move", "moved"),
        "count": ("count", "counted"),
    },
    cautions=2,
    keeps=("last_loss",),
)
