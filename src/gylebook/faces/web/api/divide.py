"""Divide a wort, ask what it could become, buy for it and fill vessels; nothing is kept."""

from __future__ import annotations

from typing import Any

from fastapi import APIRouter

from gylebook.faces.answers import finite
from gylebook.faces.divide_answers import becomes_answer, divided_answer, fillings_answer, larder_answer
from gylebook.faces.web.api.models import (
    Becomes,
    BecomesSent,
    Division,
    FillingsSent,
    FillingsTold,
    LarderSent,
    LarderTold,
    WishSent,
)
from gylebook.faces.web.api.shelf import AtDesk
from gylebook.tasks.becoming import what_it_becomes
from gylebook.tasks.divide_desk import divided_of_texts
from gylebook.tasks.filling import fillings_of_text
from gylebook.tasks.kept import look_ahead_at_texts
from gylebook.tasks.larder import shopping_of_text
from gylebook.tasks.own_tables import tables_of

router = APIRouter(tags=["divide"])


@router.post("/divide", response_model=Division)
def divide(desk: AtDesk, sent: WishSent) -> Any:
    """Several worts from which the beers of a wish can be made, each as a plan; what stands in the way."""
    found = divided_of_texts(desk.location, sent.wish, sent.brewery)
    return finite({**divided_answer(found), "plans": list(found.plans)})


@router.post("/becomes", response_model=Becomes)
def becomes(desk: AtDesk, sent: BecomesSent) -> Any:
    """What else the wort of a plan could become, by yeast and additions alone."""
    outlook = look_ahead_at_texts(desk.location, sent.plan, sent.brewery, draws=sent.draws, seed=sent.seed)
    found = what_it_becomes(outlook, sent.portion, most=sent.most, tables=tables_of(desk.location))
    return finite(becomes_answer(found))


@router.post("/larder", response_model=LarderTold)
def larder(desk: AtDesk, sent: LarderSent) -> Any:
    """What to buy for a plan in whole packs, and the plan in the weights that they give."""
    outlook = look_ahead_at_texts(desk.location, sent.plan, sent.brewery, draws=sent.draws, seed=sent.seed)
    view = shopping_of_text(outlook, sent.larder)
    return finite({**larder_answer(view), "text": view.plan})


@router.post("/fillings", response_model=FillingsTold)
def fillings(sent: FillingsSent) -> Any:
    """Sets of portions that fill fermenters, kegs and bottles."""
    found = fillings_of_text(
        sent.brewery, kegs_l=tuple(sent.kegs_l), bottle_l=sent.bottle_l, wanted_l=sent.wanted_l
    )
    return finite(fillings_answer(found))
