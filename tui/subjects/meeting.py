"""Meeting another machine: the verb that begins, and the side that answers it there."""

from __future__ import annotations

from argparse import ArgumentParser, Namespace

from core.book.device import this_device
from core.meeting.exchange import Outcome, Side, answer
from core.meeting.line import Channel
from core.meeting.way import Way, address_of
from core.problems import Problem, ShedbookError
from core.session import Session
from core.units import plural
from tui import out
from tui.cli_session import close_session, folder_of, open_session, writer
from tui.command import Command, tell_done
from tui.out import good

SURE = "yes"


def meet(args: Namespace) -> int:
    """Bring this book and another machine's to the same, or answer one that does."""
    if args.answer:
        return _answer(args)
    session = open_session(args, to_write=True)
    said, sure = (None, SURE) if args.address == SURE else (args.address, args.sure)
    way = good(_way(session, said, args))
    show = out.progress(f"meeting {way.called}")
    outcome = session.upkeep.meet(way, sure=bool(sure), moved=show or (lambda _share: None))
    if show:
        show(1)
    if outcome.stopped and not outcome.came + outcome.went:
        close_session(session)
        return out.refuse(outcome.stopped[0])
    done = _in_short(outcome, way.called)
    lines = [
        done,
        *([f"  brought over: {outcome.beside}"] if outcome.beside else []),
        *(f"  set aside: {p.sentence}" for p in outcome.set_aside),
        *(f"  set aside on {way.called}: {said}" for said in outcome.aside_there),
        *(f"  to settle: {p.sentence}" for p in outcome.to_settle),
    ]
    status = tell_done(args, done, {"with": way.called, **_as_dict(outcome)}, lines)
    for problem in outcome.stopped:
        out.error(f"Not all of it: {problem.sentence} Meet again, and the rest follows.")
    close_session(session)
    return status if outcome.is_whole else out.REFUSED


def _in_short(outcome: Outcome, name: str) -> str:
    """ "Met shed: 12 entries came here, 30 went there." """
    if outcome.is_whole and not outcome.lacked_here + outcome.lacked_there:
        return f"Met {name}: both books are the same already."
    came, went = plural(outcome.came, "entry", "entries"), str(outcome.went)
    if not outcome.is_whole:
        came = f"{outcome.came} of {plural(outcome.lacked_here, 'entry', 'entries')}"
        went = f"{outcome.went} of {outcome.lacked_there}"
    return f"Met {name}: {came} came here, {went} went there."


def _as_dict(outcome: Outcome) -> dict[str, object]:
    return {
        "came": outcome.came,
        "went": outcome.went,
        "lacked_here": outcome.lacked_here,
        "lacked_there": outcome.lacked_there,
        "set_aside": outcome.set_aside,
        "set_aside_there": outcome.aside_there,
        "to_settle": outcome.to_settle,
        "beside": [outcome.beside] if outcome.beside else [],
        "stopped": outcome.stopped,
        "whole": outcome.is_whole,
    }


def _way(session: Session, said: str | None, args: Namespace) -> Way | Problem:
    """The way that is said, or the one by which another machine was met last."""
    known = session.met.all() if said else [met for met in (session.met.last_by_address(),) if met]
    if not said and not known:
        return Problem(
            "No other machine was met from here yet: say which, such as shedbook meet shed:farm", "unknown"
        )
    before = next((met for met in known if said in (None, met.address, met.address.partition(":")[0])), None)
    address = address_of(before.address if before else str(said))
    if isinstance(address, Problem):
        return address
    via, there = (before.via, before.there) if before else ("", "")
    via = via if args.via is None else args.via
    return Way(address, via, there if args.there is None else args.there, asks=out.is_terminal())


def _answer(args: Namespace) -> int:
    """The side that answers: what it says goes to the other machine, and nothing else is printed."""
    line, outcome = Channel(0, 1, "the other machine"), Outcome()
    opened: list[Session] = []

    def side() -> Side:
        session = Session.open(folder_of(args), by=writer(args), on=args.on, progress=line.at_work)
        opened.append(session)
        return session.upkeep.answering(line)

    try:
        answer(line, this_device(), side, outcome)
    except ShedbookError as refused:
        return out.refuse(refused.problem)
    finally:
        for session in opened:
            if outcome.is_whole:
                session.upkeep.answered(outcome)
            close_session(session)
    return out.DONE


def _options(meet: ArgumentParser) -> None:
    meet.add_argument(
        "address",
        metavar="HOST[:FARM]",
        nargs="?",
        help="the other machine as ssh knows it, and the farm's folder there; left out, the one met last",
    )
    meet.add_argument(
        "sure", metavar=SURE, nargs="?", choices=(SURE,), help="also where it looks like another farm's book"
    )
    meet.add_argument(
        "--via",
        metavar="COMMAND",
        default=None,
        help="what is run instead of ssh, as ssh would be: COMMAND HOST REMOTE-COMMAND...",
    )
    meet.add_argument(
        "--there",
        metavar="COMMAND",
        default=None,
        help="what shedbook is called there, such as .venv/bin/shedbook",
    )
    meet.add_argument(
        "--answer",
        action="store_true",
        help="answer on standard input and output; the other machine runs this",
    )


COMMANDS = {"meet": Command(meet, _options)}
