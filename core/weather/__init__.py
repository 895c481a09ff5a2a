"""Weather in the farm's book: the station's file, her own ground, odds kept as frost dates, tonight, warmth."""

from core.subject import Subject

SUBJECT = Subject(
    title="Weather",
    kinds=("frost", "risk", "station", "low", "high", "tonight", "forecast", "wind", "dusk"),
    verbs={"risk": ("risk",), "dusk": ("dusk",)},
    loose={
        "weather": ("low", "high", "tonight", "wind", "forecast", "night"),
        "frost": ("frost", "last", "first"),
    },
    begins=("low", "high", "tonight", "wind", "last frost", "first frost"),
    commands={
        "tonight": "the night to come: its low, the trays and beds at risk, and when",
        "weather": "frost odds of the station, your own ground, and what the windows hang on",
    },
    view="Weather",
    view_key="0",
    cautions=1,
    keeps=("weather",),
)
