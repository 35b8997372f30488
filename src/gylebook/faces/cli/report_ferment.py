"""Print a portion's fermentation: how it stands, its readings, its end, the curve in letters."""

from __future__ import annotations

import click

from gylebook.faces import ferment_words, telling, words
from gylebook.faces.cli.report import MIDDLE
from gylebook.faces.cli.tables import print_heading, print_sentence, print_table
from gylebook.faces.findings import RISK
from gylebook.faces.words import Units
from gylebook.figures.draws import Summary
from gylebook.tasks.ferment_views import FermentView
from gylebook.tasks.trust import DOUBTFUL

LINES, ACROSS = 14, 50
BAND, LINE, READ = "░", "█", "O"


def show_ferment(view: FermentView, units: Units) -> None:
    """Everything of one portion in fermentation."""
    print_heading(f"{view.name} ({view.yeast}), pitched {view.pitched[:16].replace('T', ' ')}")
    for sentence in (
        ferment_words.state_sentence(view),
        ferment_words.help_sentence(view),
        ferment_words.end_sentence(view),
    ):
        if sentence:
            print_sentence(sentence)
    _show_taken(view, units)
    click.echo()
    rows = [
        ("now" if view.taken else "as it was pitched", _gravity(view.now, units)),
        ("end, as foretold before it began", _gravity(view.expected_end, units)),
        ("end, given the readings", _gravity(view.end, units)),
        ("alcohol", words.median_and_interval(view.abv, "%", units)),
        (f"within {words.fixed(view.near_points, 1)} points of its end", ferment_words.near_end(view)),
    ]
    print_table("", ("Its course", MIDDLE), rows)
    click.echo()
    print_sentence(ferment_words.standing_sentence(view))
    print_sentence(ferment_words.waiting_sentence(view))
    print_heading(f"Gravity by day ({BAND} 90 in 100, {LINE} middle, {READ} reading)")
    for line in curve_in_letters(view, units):
        click.echo(f"  {line}")
    if view.taken:
        print_sentence(telling.trust_sentence(view.trust))


def _show_taken(view: FermentView, units: Units) -> None:
    rows = [
        (
            taken.at[:16].replace("T", " "),
            words.fixed(taken.hours / 24.0, 1),
            telling.reading_text("gravity", taken.value, units, taken.kind),
            ferment_words.put_right(taken, units),
            words.interval(taken.curve, "SG", units),
            "agrees" if abs(taken.misfit_sd) <= DOUBTFUL else f"{RISK} check it",
        )
        for taken in view.taken
    ]
    if rows:
        click.echo()
        print_table("", ("read", "day", "shown", "put right", "curve there", ""), rows)


def curve_in_letters(view: FermentView, units: Units) -> list[str]:
    """The curve turned on its side: a line for a moment, gravity falling from left to right."""
    gravities = [x for reach in view.band for x in (reach.low, reach.high)]
    gravities += [taken.sg for taken in view.taken]
    low, high = min(gravities), max(gravities)

    def column(sg: float) -> int:
        return round((ACROSS - 1) * (high - sg) / (high - low))

    strong, thin = words.gravity(high, units), words.gravity(low, units)
    lines = [f"{'day':>5}  {strong}{thin:>{ACROSS - len(strong)}}"]
    for day in _moments(view):
        reach = min(view.band, key=lambda reach: abs(reach.hours - 24.0 * day))
        left, right = column(reach.high), column(reach.low)
        cells = [" "] * left + [BAND] * (right - left + 1) + [" "] * (ACROSS - right - 1)
        cells[column(reach.median)] = LINE
        for taken in view.taken:
            if round(taken.hours / 24.0, 1) == day:
                cells[column(taken.sg)] = READ
        lines.append(f"{words.fixed(day, 1):>5}  {''.join(cells).rstrip()}")
    return lines


def _moments(view: FermentView) -> list[float]:
    """Days at which the curve is told: when it was read, and evenly between. [d]"""
    read = {round(taken.hours / 24.0, 1) for taken in view.taken}
    last = max(reach.hours for reach in view.band) / 24.0
    step = max(1.0, float(round(last / LINES)))
    even = [step * number for number in range(int(last / step) + 1)]
    return sorted(read | {day for day in even if all(abs(day - other) > 0.4 * step for other in read)})


def _gravity(summary: Summary, units: Units) -> str:
    return words.median_and_interval(summary, "SG", units)
