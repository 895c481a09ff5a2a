"""The dates of a crop: windows to sow, harden, set out and cut, each with its "because".

Windows are reckoned from the farm's frost dates and the crop's sheet; what really happened takes the place of
the plan. A window runs from the first to the last day on which to begin (for cutting: on which to expect it).
"""

from __future__ import annotations

from datetime import date, timedelta

from core.crops.date_words import cite, from_frost
from core.crops.frost_dates import Bounds, Frost, FrostFor
from core.crops.hardening import ladder
from core.crops.sheet import Figure, Sheet, Span, days_from_bed_sowing
from core.crops.windows import WINDOWS, Calendar, Window
from core.dialect import told_degrees, told_frost
from core.units import plural, short_day, weeks

PRICK_OUT_FROM_WEEKS = 6
"""Weeks in the tray from which pricking out pays; shorter stays are sown straight in their cells."""

SMALL_CELLS_FULL_DAYS = (28, 42)
"""Days after which small cells (288 to 128 a tray) are full of roots (from memory)."""

_SHORTEST_WINDOW = timedelta(days=7)


def crop_dates(
    sheet: Sheet,
    frost: Frost,
    *,
    today: date | None = None,
    sown: date | None = None,
    set_out: date | None = None,
    direct: bool = False,
    bounds: Bounds | None = None,
) -> Calendar:
    """The calendar of a crop from frost dates and what has happened so far.

    `sown` and `set_out` are real days and replace the plan. `direct` means sown straight in the bed, which
    goes without saying for a crop that has weeks for sowing in the bed and none in a tray. `today` only adds
    a word where a window has passed. `bounds` are the farm's own spring dates to wait for, by class.
    """
    reckoning = _Reckoning(sheet, frost, sown, set_out, bounds or {})
    in_tray = sheet.weeks_in_tray is not None
    if direct or (not in_tray and sheet.direct_sow_weeks is not None):
        reckoning.sow_in_bed()
    else:
        reckoning.set_out_from_tray()
    reckoning.cuts()
    if today is not None:
        reckoning.what_has_passed(today)
    return reckoning.calendar()


def cutting_ends(sheet: Sheet, frost: Frost) -> tuple[date, str] | None:
    """The day autumn cold ends cutting, and what it is called; None where no autumn date is typed."""
    return FrostFor(sheet, frost).autumn()


class _Reckoning:
    """One calendar in the making: windows found so far, and words that belong to no window."""

    def __init__(
        self, sheet: Sheet, frost: Frost, sown: date | None, set_out: date | None, bounds: Bounds
    ) -> None:
        self.sheet = sheet
        self.frost = frost
        self.sown = sown
        self.out = set_out
        self.cold = FrostFor(sheet, frost, bounds.get(sheet.hardiness_class, ()))
        self.windows: dict[str, Window] = {}
        self.words: list[str] = []

    def put(self, name: str, start: date, end: date, because: str) -> None:
        self.windows[name] = Window(start, end, because)

    def calendar(self) -> Calendar:
        windows = {
            name: self.windows[name]._replace(anchor=self._anchor(name))
            for name in WINDOWS
            if name in self.windows
        }
        because = (*(window.because for window in windows.values()), *self.words)
        return Calendar(self.sheet.crop, self.sheet.way, windows, because)

    def _anchor(self, name: str) -> str:
        """Which frost date a window is reckoned from; "" where from what really happened."""
        frost = self.cold.autumn() if name in ("first_cut", "last_cut") else None
        if frost is not None and self.windows[name].end == frost[0]:
            return f"{frost[1]}{self.cold.said('autumn', self.cold.autumn_odds())}"
        average = self.frost.last_frost
        if average is None or self.sown is not None or self.out is not None:
            return ""
        mean = f"{told_frost(32)} at 50 %, {self.cold.average()}"
        bound = None if "direct_sow" in self.windows else self.cold.spring()
        if bound is None:
            return mean
        day, (threshold, risk) = bound
        waits_for = (
            f"{told_frost(threshold)} at {risk} %, "
            f"{short_day(day)}{self.cold.said('spring', (threshold, risk))}"
        )
        return waits_for if self.windows["set_out"].start == day else f"{mean}; after {waits_for}"

    # Sown in the bed

    def sow_in_bed(self) -> None:
        frost_day = self.frost.last_frost
        span = self.sheet.direct_sow_weeks
        if self.sown is not None:
            self.put("direct_sow", self.sown, self.sown, f"Sown in the bed {short_day(self.sown)}.")
        elif span is None:
            self.words.append("No weeks for sowing in the bed were found.")
        elif frost_day is None:
            self.words.append("The last frost date is not typed yet, so nothing can be reckoned from it.")
        else:
            start, end = (frost_day + weeks(count) for count in span.value)
            self.put(
                "direct_sow",
                start,
                end,
                f"Sow in the bed {from_frost(span)} the average last frost, {self.cold.average()} "
                f"{cite(span)}.",
            )

    # Raised in a tray, or planted as a tuber or bought plant

    def set_out_from_tray(self) -> None:
        planned = self._planned_set_out()
        tray = self.sheet.weeks_in_tray
        if self.out is not None:
            self.put("set_out", self.out, self.out, f"Set out {short_day(self.out)}.")
        elif self.sown is not None and tray is not None:
            self._set_out_after_sowing(self.sown, tray, planned)
        elif planned is not None:
            self.windows["set_out"] = planned
        if "set_out" not in self.windows:
            self._say_why_not()
        elif tray is None:
            self.words.append(
                f"{self._kind()}, planted and not raised in a tray: no days to sow or to harden."
            )
        if tray is not None:
            self._before_setting_out(tray)

    def _planned_set_out(self) -> Window | None:
        span = self.sheet.set_out_weeks
        frost_day = self.frost.last_frost
        if span is None or frost_day is None:
            return None
        start, end = (frost_day + weeks(count) for count in span.value)
        because = f"Set out {from_frost(span)} the average last frost, {self.cold.average()} {cite(span)}"
        bound = self.cold.spring()
        if bound is None:
            return Window(start, end, f"{because}.")
        day, (threshold, risk) = bound
        whose = self.cold.whose(threshold, risk)
        if day <= start:
            past = f"{told_frost(threshold)} at {risk} %, {short_day(day)}"
            return Window(start, end, f"{because}; {self.sheet.hardiness_class}: after {past} ({whose}).")
        moved = plural((day - start).days, "day")
        return Window(
            day,
            max(end, day + _SHORTEST_WINDOW),
            f"{because}; moved {moved} on, {self.sheet.hardiness_class} crops wait for {short_day(day)}, "
            f"after which {told_degrees(threshold)} comes in {risk} years of 100 ({whose}).",
        )

    def _set_out_after_sowing(self, sown: date, tray: Figure[Span], planned: Window | None) -> None:
        ready, last = (sown + weeks(count) for count in tray.value)
        because = f"Sown {short_day(sown)}, ready after {tray.text} weeks in the tray {cite(tray)}"
        if planned is None or planned.start <= ready:
            self.put("set_out", ready, last, f"{because}.")
            return
        late = (planned.start - last).days
        wait = f"; not before the window opens {short_day(planned.start)}"
        if late > 0:
            wait += f", {plural(late, 'day')} past its time in the tray: pot on"
        self.put("set_out", planned.start, max(last, planned.start), f"{because}{wait}. {planned.because}")

    def _say_why_not(self) -> None:
        if self.sheet.set_out_weeks is None:
            self.words.append(
                f"{self._kind()}: no week for planting was found, so nothing is reckoned from frost; "
                "the farm's own record of first cuts is the guide."
            )
        else:
            self.words.append("The last frost date is not typed yet, so nothing can be reckoned from it.")

    def _kind(self) -> str:
        figure = self.sheet.life_cycle
        name = f"{self.sheet.crop[0].upper()}{self.sheet.crop[1:]}"
        return f"{name} is a {figure.text}" if figure is not None else name

    # From sowing to setting out

    def _before_setting_out(self, tray: Figure[Span]) -> None:
        out = self.windows.get("set_out")
        self._sow(tray, out)
        sow = self.windows.get("sow")
        if sow is not None:
            if self.sheet.germination_days is not None:
                days = self.sheet.germination_days
                self.words.append(
                    f"The {days.text} days to germinate {cite(days)} are inside the weeks in the tray, "
                    "as in the table of S01: they are not added again."
                )
            self._prick_out(sow, tray, out)
            self._pot_on(sow, tray, out)
        if out is not None:
            self._harden(sow, out)
        self._or_in_the_bed()

    def _sow(self, tray: Figure[Span], out: Window | None) -> None:
        if self.sown is not None:
            self.put("sow", self.sown, self.sown, f"Sown {short_day(self.sown)}.")
            return
        if out is None:
            return
        before = self.sheet.sow_weeks_before
        frost_day = self.frost.last_frost
        if before is None or before.source.startswith("derived") or self.out is not None or frost_day is None:
            self.put(
                "sow",
                out.start - weeks(tray.value[1]),
                out.end - weeks(tray.value[0]),
                f"Sow {tray.text} weeks before setting out {cite(tray)}.",
            )
            return
        span = self.sheet.set_out_weeks
        late = out.start - (frost_day + weeks(span.value[0])) if span is not None else timedelta()
        moved = f", moved {plural(late.days, 'day')} on with setting out" if late else ""
        self.put(
            "sow",
            frost_day - weeks(before.value[1]) + late,
            frost_day - weeks(before.value[0]) + late,
            f"Sow {before.text} weeks before the average last frost, {self.cold.average()} "
            f"{cite(before)}{moved}.",
        )

    def _prick_out(self, sow: Window, tray: Figure[Span], out: Window | None) -> None:
        germination = self.sheet.germination_days
        if tray.value[0] < PRICK_OUT_FROM_WEEKS or germination is None or self.sheet.cannot_wait is not None:
            return
        start = sow.start + timedelta(days=germination.value[0] + 7)
        end = sow.end + timedelta(days=germination.value[1] + 14)
        latest = out.end - self._ladder_days() if out is not None else end
        if start <= latest:
            because = "Prick out at the first true leaf, 1 to 2 weeks after it is up (common practice)."
            self.put("prick_out", start, min(end, latest), because)

    def _pot_on(self, sow: Window, tray: Figure[Span], out: Window | None) -> None:
        waits = self.sheet.cannot_wait
        if waits is not None:
            first, last = waits.move_from_day, waits.move_by_day
            because = (
                f"Out of its first cells {first} to {last} days from sowing, spoiled after "
                f"{waits.spoiled_after_day} ({waits.source}): pot on if it is not to be set out yet."
            )
        elif weeks(tray.value[0]).days > SMALL_CELLS_FULL_DAYS[1]:
            first, last = SMALL_CELLS_FULL_DAYS
            because = f"Small cells are full of roots in {first} to {last} days (from memory): pot on."
        else:
            return
        start, end = sow.start + timedelta(days=first), sow.end + timedelta(days=last)
        latest = out.end - self._ladder_days() if out is not None else end
        if start <= latest:
            self.put("pot_on", start, min(end, latest), because)

    def _harden(self, sow: Window | None, out: Window) -> None:
        steps = self._ladder_days()
        start, end = out.start - steps, out.end - steps
        if sow is not None:
            start, end = max(start, sow.start), max(end, sow.end)
        self.put(
            "harden",
            start,
            min(end, out.end),
            f"The ladder of a {self.sheet.hardiness_class} crop has {steps.days} steps, one a day, and ends "
            "the day before setting out (common practice).",
        )

    def _ladder_days(self) -> timedelta:
        return timedelta(days=len(ladder(self.sheet.hardiness_class)))

    def _or_in_the_bed(self) -> None:
        span = self.sheet.direct_sow_weeks
        frost_day = self.frost.last_frost
        if span is None or frost_day is None or self.sown is not None or self.out is not None:
            return
        start, end = (frost_day + weeks(count) for count in span.value)
        preferred = self.sheet.direct_sow is not None and self.sheet.direct_sow.value == "preferred"
        how = "Better sown" if preferred else "Or sown"
        self.words.append(f"{how} in the bed {short_day(start)} to {short_day(end)} {cite(span)}.")

    # Cutting

    def cuts(self) -> None:
        first = self._first_cut()
        if first is None:
            return
        frost = self.cold.autumn()
        if frost is not None and first.start >= frost[0]:
            self.words.append(
                f"No cut is to be expected before frost: the first cut would be {short_day(first.start)}, "
                f"after {frost[1]}."
            )
            return
        if frost is not None and first.end > frost[0]:
            first = Window(first.start, frost[0], f"{first.because[:-1]}; ended by {frost[1]}.")
        self.windows["first_cut"] = first
        self._last_cut(first, frost)

    def _first_cut(self) -> Window | None:
        if sown := self.windows.get("direct_sow"):
            return self._cut_after(sown, "sowing in the bed", days_from_bed_sowing(self.sheet))
        out = self.windows.get("set_out")
        if out is None:
            return None
        sow = self.windows.get("sow")
        in_bed = self.sheet.days_from_sowing
        if self.sheet.days_to_first_cut is None and in_bed is not None and sow is not None:
            # Only counted from a sowing in the bed; a plant moved from a tray is not likely to be sooner.
            window = self._cut_after(sow, "sowing, as if in the bed", in_bed)
            if window is not None and window.start > out.start:
                return window
        return self._cut_after(out, "setting out", self.sheet.days_to_first_cut)

    def _cut_after(self, began: Window, what: str, days: Figure[Span] | None) -> Window | None:
        if days is None:
            self.words.append(f"No days from {what} to the first cut were found, so no cut is reckoned.")
            return None
        least, most = days.value
        return Window(
            began.start + timedelta(days=least),
            began.end + timedelta(days=most),
            f"First cut about {days.text} days after {what} {cite(days)}.",
        )

    def _last_cut(self, first: Window, frost: tuple[date, str] | None) -> None:
        span = self.sheet.cut_weeks
        if span is None:
            self.words.append("No weeks of cutting were found, so no last cut is reckoned.")
            return
        start, end = first.start + weeks(span.value[0]), first.end + weeks(span.value[1])
        because = f"Cut for {span.text} weeks {cite(span)}"
        if frost is not None and end > frost[0]:
            start, end = max(min(start, frost[0]), first.start), frost[0]
            because += f", ended by {frost[1]}"
        self.put("last_cut", start, end, f"{because}.")

    # Today

    def what_has_passed(self, today: date) -> None:
        for name, done, words in (
            ("sow", self.sown or self.out, "sowing"),
            ("direct_sow", self.sown, "sowing in the bed"),
            ("set_out", self.out, "setting out"),
        ):
            window = self.windows.get(name)
            if window is not None and done is None and window.end < today:
                late = plural((today - window.end).days, "day")
                self.words.append(f"The window for {words} closed {late} ago.")
