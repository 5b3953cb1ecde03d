"""The words of kit labels, as data: what facts are called, and the sentences around them."""

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["LABEL_FACTS", "LABEL_NOTICES", "LABEL_SENTENCES"]

#: What stands before a fact.
LABEL_FACTS: Mapping[str, str] = MappingProxyType(
    {
        "hat_size": "Hat size",
        "fits_head": "For a head of",
        "finished": "Finished",
        "yarn": "Yarn",
        "hook": "Hook",
        "hours": "Time",
        "beforehand": "At home",
    }
)

LABEL_SENTENCES: Mapping[str, str] = MappingProxyType(
    {
        "title": "Kit labels: {design}",
        "bare_title": "Kit labels",
        "one_label": "1 label. Cut along the dashed lines.",
        "labels": "{count} labels, in the order of the participants. Cut along the dashed lines.",
        "no_label": "No kit could be planned.",
        "some_left_out": "Without a kit: {count}. They stand at the end, with the reason.",
        "left_out": "Without a kit",
        "why_left_out": "These could not be planned, and there is no label for them.",
        "no_reference": "Participant {number}, whose reference was refused",
        "participant": "Participant {number}, {reference}",
        "hat": "{circumference} around, {depth} deep.",
        "headband": "{circumference} around, {depth} high.",
        "hour": "About 1 hour.",
        "hours": "About {hours:g} hours.",
        "fits_class": "About {hours:g} hours: it can be made in the class.",
        "longer_than_class": "About {hours:g} hours: longer than the class.",
        "us_right": "Kit {number}: US terms, right-handed.",
        "us_left": "Kit {number}: US terms, left-handed.",
        "uk_right": "Kit {number}: UK terms, right-handed.",
        "uk_left": "Kit {number}: UK terms, left-handed.",
    }
)

#: Notices about who wears or works this one hat; those of the design are for the organizer.
LABEL_NOTICES = (
    "sleep",
    "small_parts",
    "cords",
    "fibre",
    "left_handed",
    "crossing_pulls_in",
    "too_many_to_close",
)
