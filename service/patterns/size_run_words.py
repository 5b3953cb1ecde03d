"""What a size run says beside its pattern: how to read it, its abbreviations, and its notices."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from service.domain.hats import HatPlan
from service.domain.report import Notice
from service.domain.rounding import half_up
from service.domain.size_runs import PoorFit, RunNotice, SizeRun
from service.domain.yarn_colourings import Colouring, StripedColours
from service.notation.terms import TermsId
from service.patterns.colour_words import colouring_sentence
from service.patterns.lengths import inches, measured
from service.patterns.notices import notice_sentence, notice_severity
from service.patterns.plan_words import plan_abbreviations
from service.patterns.size_run_texts import sized, sizes_phrase
from service.patterns.text_abbreviations import Abbreviation, text_abbreviations

__all__ = ["ToldNotice", "run_abbreviations", "tell_run_notices", "write_size_run_legend"]


@dataclass(frozen=True, slots=True)
class ToldNotice:
    """A notice in words; one that is not for all sizes begins with its own."""

    code: str
    severity: str
    text: str


#: Notices that say that a size is unlikely to fit.
_FIT_CODES = ("fit_unlikely", "fit_uncertain")

#: What would cure a fit that is unlikely: a gauge, a repeat, or to know head and gauge better.
_CURES = MappingProxyType(
    {
        "gauge": "At {gauge:.1f} stitches to 10 cm (4 in) it would meet the size exactly.",
        "repeat": "At this gauge any repeat of at most {multiple} stitches would fit.",
        "measure": "Head and gauge are known too roughly for any count: measure the head with a tape, "
        "and the gauge over more stitches in several places.",
    }
)

#: How much yarn sizes may take where that is known only roughly, in one sentence for all of them.
_ROUGH = MappingProxyType(
    {
        "range": "from {low} to {high} in {sizes}",
        "all": "The yarn is estimated without a weighed swatch of these stitches: "
        "it may take anything {ranges}. Weigh a swatch for a better figure.",
    }
)


def tell_run_notices(run: SizeRun) -> tuple[ToldNotice, ...]:
    """Return what to know of a run, each notice once; those that are not for all sizes begin with theirs.

    Every size that is unlikely to fit is told with the gauge or the repeat that would cure it, and only so.
    What is told of several sizes in turn stands together, and rough estimates of yarn are told as one.
    """
    poor = {each.size_number for each in run.poor_fits}
    sizes: dict[tuple[str, str, str], set[int]] = {}
    for each in run.notices:
        told = set(each.size_numbers) - (poor if each.notice.code in _FIT_CODES else set())
        if told:
            words = (each.notice.code, notice_severity(each.notice), _run_sentence(each.notice, run))
            sizes.setdefault(words, set()).update(told)
    for unlikely in run.poor_fits:
        words = ("fit_unlikely", "caution", _poor_fit_words(unlikely))
        sizes.setdefault(words, set()).add(unlikely.size_number)
    codes = list(dict.fromkeys(code for code, *_ in sizes))
    return tuple(
        ToldNotice(code, severity, _for_sizes(text, tuple(sorted(numbers)), len(run.plans)))
        for (code, severity, text), numbers in sorted(sizes.items(), key=lambda each: codes.index(each[0][0]))
    )


def _run_sentence(notice: Notice, run: SizeRun) -> str:
    """Return a notice in words: what is rough for several sizes with the figures of all."""
    rough = [each for each in run.notices if each.notice.code == "yarn_estimate_rough"]
    if notice.code != "yarn_estimate_rough" or len(rough) == 1:
        return notice_sentence(notice)
    return _ROUGH["all"].format(ranges=", ".join(map(_rough_range, rough)))


def _rough_range(told: RunNotice) -> str:
    low_m, high_m = (float(told.notice.values[name]) for name in ("low_m", "high_m"))
    return _ROUGH["range"].format(
        low=measured(low_m, "m"), high=measured(high_m, "m"), sizes=sizes_phrase(told.size_numbers)
    )


def _poor_fit_words(poor: PoorFit) -> str:
    cures = []
    if poor.exact_stitches_per_10cm is not None:
        cures.append(_CURES["gauge"].format(gauge=poor.exact_stitches_per_10cm))
    if poor.largest_stitch_multiple is not None:
        cures.append(_CURES["repeat"].format(multiple=poor.largest_stitch_multiple))
    chance = f"The chance that this size fits is {half_up(100 * poor.fit_probability)} %."
    return " ".join([chance, *(cures or [_CURES["measure"]])])


def _for_sizes(text: str, sizes: tuple[int, ...], size_count: int) -> str:
    return text if len(sizes) == size_count else f"{sizes_phrase(sizes).capitalize()}: {text}"


def run_abbreviations(
    plans: Sequence[HatPlan], terms_id: TermsId, sentences: Iterable[str] = ()
) -> tuple[Abbreviation, ...]:
    """Return every abbreviation of any size or of what else is written, in the order of the alphabet."""
    beside = text_abbreviations(sentences, terms_id)
    found: Mapping[str, Abbreviation] = {
        each.abbreviation: each
        for key in (beside, *(plan_abbreviations(plan, terms_id) for plan in plans))
        for each in key
    }
    return tuple(found[name] for name in sorted(found, key=str.lower))


def write_size_run_legend(plans: Sequence[HatPlan], text: str) -> tuple[str, ...]:
    """Return how to read the pattern of a size run: whom its sizes fit, its numbers and its colours.

    Parameters
    ----------
    plans
        The plans, smallest head first.
    text
        The pattern, which says whether any line is for some sizes only.
    """
    heads_mm = [plan.size.head.circumference_mm for plan in plans]
    names = sized(range(1, len(plans) + 1))
    heads = f"{sized([f'{half_up(head_mm / 5) / 2:g}' for head_mm in heads_mm])} cm"
    heads += f" / {sized([inches(head_mm) for head_mm in heads_mm])} in"
    legend = [
        f"Sizes {names} are for heads of {heads}.",
        "Numbers are for size 1, with those of the larger sizes in brackets; one number is for all sizes.",
    ]
    if " only): " in text:
        legend.append(
            "A round for some sizes only has numbers for those alone; "
            "in the other sizes leave it out and go on with the next."
        )
    return (*legend, *_colour_words(plans[0].order.colouring, text))


def _colour_words(colouring: Colouring | None, text: str) -> tuple[str, ...]:
    """Return where colours are worked; stripes go by the rounds of a size, whatever their numbers."""
    if colouring is None:
        return ()
    sentence = colouring_sentence(colouring)
    if isinstance(colouring.layout, StripedColours) and " only): " in text:
        sentence += (
            " Count the rounds that you work, not their numbers: each size leaves out those of others."
        )
    return (sentence,)
