"""The route and the products that a new shop starts with, as the engine reads them, without a database."""

from typing import Any

from shop.models import Product as ProductRow
from shop.setup.products import PRODUCTS
from stages.advice.answers import Answers
from stages.advice.job import Job
from stages.advice.plan import plan
from stages.engine.products import Product
from stages.engine.route import Route
from stages.engine.vocab import ProductKind
from stages.models import RouteStage
from stages.queries.routes import engine_stage
from stages.queries.world import engine_product
from stages.setup.route import STAGES


def the_route() -> Route:
    """The route of a new shop."""
    stages = (
        engine_stage(
            RouteStage(position=position, **{name: value for name, value in values.items() if name != "after"}),
            after=values["after"],
        )
        for position, values in enumerate(STAGES)
    )
    return Route(name="Wood and canvas", version=1, stages=tuple(stages))


def the_products() -> dict[ProductKind, Product]:
    """The usual product of each kind that goes on in coats."""
    kinds = set(ProductKind)
    rows = (ProductRow(pk=n, **values) for n, values in enumerate(PRODUCTS) if values.get("usual"))
    return {ProductKind(row.kind): engine_product(row) for row in rows if row.kind in kinds}


def a_job(**answers: Any) -> Job:
    """What somebody does to their boat."""
    said = Answers(**answers)
    return Job(answers=said, steps=plan(the_route(), said, the_products()))
