"""The seed drawer: packets by crop, variety, lot and year, tested, sown from, counted, and ordered anew in winter."""

from core.subject import Subject

SUBJECT = Subject(
    title="Seeds",
    kinds=("packet", "seed tested", "seed lost", "seed counted"),
    hears=("sown", "drilled"),
    verbs={
        "packet": ("packet", "packets", "pkt"),
        "bought": (),
        "test": ("test", "tested"),
        "lost": (),
        "count": (),
    },
    commands={"seeds": "the seed drawer: packets, their age and tests; --order what is to be ordered"},
    view="Seeds",
    view_key="S",
    rows=("packet", "seed order"),
)
