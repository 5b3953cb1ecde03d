"""Every resource of the interface, and the headings they stand under in the document."""

from service.api.operations import Resource
from service.api.routes.class_kits import class_kits
from service.api.routes.count_checks import count_checks
from service.api.routes.crown_reviews import crown_reviews
from service.api.routes.crown_schedules import crown_schedules
from service.api.routes.drawings import drawings
from service.api.routes.finished_sizes import finished_sizes
from service.api.routes.gauges import gauges
from service.api.routes.hat_plans import hat_plans
from service.api.routes.hat_revisions import hat_revisions
from service.api.routes.kit_labels import kit_labels
from service.api.routes.pattern_sheets import pattern_sheets
from service.api.routes.repeat_fits import repeat_fits
from service.api.routes.shaping_rounds import shaping_rounds
from service.api.routes.shopping_lists import shopping_lists
from service.api.routes.size_run_sheets import size_run_sheets
from service.api.routes.size_runs import size_runs
from service.api.routes.tables import reference_tables
from service.api.routes.yarn_estimates import yarn_estimates

__all__ = ["RESOURCES", "TAGS"]

RESOURCES: tuple[Resource, ...] = (
    reference_tables,
    gauges,
    finished_sizes,
    repeat_fits,
    shaping_rounds,
    crown_schedules,
    crown_reviews,
    yarn_estimates,
    hat_plans,
    size_runs,
    hat_revisions,
    class_kits,
    shopping_lists,
    kit_labels,
    count_checks,
    pattern_sheets,
    size_run_sheets,
    drawings,
)

TAGS = {
    "Reference": "Published tables, each row with its source.",
    "Sizing": "Heads, gauges and stitch counts.",
    "Shaping": "Single rounds and crowns.",
    "Yarn": "How much to buy.",
    "Plans": "Whole hats.",
    "Classes": "One design for many people.",
    "Patterns": "Patterns: counted, made to be printed, and drawn.",
}
