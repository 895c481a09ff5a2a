"""What is promised already: what is still wanted for orders, as claims."""

from __future__ import annotations

from datetime import date

from core.farm import Farm
from core.orders.open_items import OpenItem, open_items
from core.pieces.recipes import recipe_named
from core.plans.serving import grown_for
from core.promising.claims import Claim, Liked


def open_claims(farm: Farm, today: date) -> tuple[Claim, ...]:
    """Everything still wanted for orders, in the order of its rank; pieces of a recipe that is gone are left out.

    What is overdue is wanted today; what is long overdue is forgotten, and nothing is kept for it.
    """
    found = (_claim(farm, item, today) for item in open_items(farm, today) if not item.is_forgotten(today))
    return tuple(claim for claim in found if claim is not None)


def _claim(farm: Farm, of: OpenItem, today: date) -> Claim | None:
    recipe = recipe_named(farm, of.item.recipe) if of.form == "piece" else None
    if of.form == "piece" and recipe is None:
        return None
    return Claim(
        max(of.due, today),
        of.rank,
        of.wanted,
        of.form,
        tuple(Liked(one.crop, one.color) for one in of.accepts),
        of.order.code,
        of.order.buyer,
        recipe,
        None,
        f"{of.item.id}/{of.delivery}",
        of.spare,
        farm.own_crops,
        tuple(sorted(grown_for(farm, of.order, of.item))),
    )
