"""Render the labels of a class as one HTML page to print on A4 or letter paper and to cut."""

from collections.abc import Iterator
from html import escape

from service.sheets.html_pages import html_page, style_source
from service.sheets.kit_labels import Fact, KitLabel, LabelSheet, LeftOut
from service.sheets.label_words import LABEL_SENTENCES

__all__ = ["label_page", "label_style_policy"]

#: Neighbouring labels share their dashed line, so that one cut parts both.
_STYLE = """
:root { color-scheme: light; }
* { box-sizing: border-box; }
body { margin: 0; background: #fff; color: #000; font: 1rem/1.4 Arial, Helvetica, sans-serif; }
main { max-width: 60rem; margin: 0 auto; padding: 1.25rem 1rem 2.5rem; overflow-wrap: anywhere; }
h1, h2 { line-height: 1.2; break-after: avoid; }
h1 { font-size: 1.5rem; margin: 0 0 .25rem; }
h2 { font-size: 1.15rem; margin: 2rem 0 .5rem; }
p { margin: .25rem 0; }
ul { margin: .5rem 0; padding-left: 1.2rem; }
ul.labels { list-style: none; margin: 1rem 0 0; padding: 0 3px 3px 0; display: grid; }
ul.labels { grid-template-columns: repeat(auto-fill, minmax(min(20rem, 100%), 1fr)); }
ul.labels > li { break-inside: avoid; border: 1px dashed #000; margin: 0 -1px -1px 0; padding: .9rem 1rem; }
ul.labels h2 { font-size: 1.4rem; line-height: 1.1; margin: 0; }
ul.labels p, dl, ul.cautions { font-size: .85em; line-height: 1.3; }
dl { display: grid; grid-template-columns: 6.5rem minmax(0, 1fr); gap: 0 .5rem; margin: .4rem 0 0; }
dt { grid-column: 1; }
dd { grid-column: 2; margin: 0; }
bdi { font-weight: bold; }
ul.cautions { margin: .4rem 0 0; padding-left: 1rem; }
@page { margin: 10mm; }
@media print {
  :root { font-size: 9.5pt; }
  main { max-width: none; padding: 0; }
  h1 { font-size: 12pt; }
  ul.labels { grid-template-columns: repeat(2, minmax(0, 1fr)); margin-top: 3mm; }
  ul.labels > li { padding: 2.5mm 4mm; }
  ul.labels + .left-out { break-before: page; }
  .left-out li { break-inside: avoid; }
}
"""


def label_page(sheet: LabelSheet) -> str:
    """Return the labels as a page of HTML; every text is escaped.

    A label is a heading with a list of facts, and no page ends within one. Those without a kit stand behind
    the labels, on paper of their own.

    Examples
    --------
    >>> label = KitLabel("seat-1", "Kit 1", (Fact("Yarn", ("2 balls.",), ("<b>Wool</b>", "red")),), ())
    >>> page = label_page(LabelSheet("en", "Kit labels", (label,), ()))
    >>> "<dt>Yarn</dt><dd><bdi>&lt;b&gt;Wool&lt;/b&gt;</bdi>, <bdi>red</bdi></dd><dd>2 balls.</dd>" in page
    True
    """
    return html_page(language=sheet.language, title=sheet.title, style=_STYLE, lines=_lines(sheet))


def label_style_policy() -> str:
    """Return the source expression that lets the page's own style apply under a strict content policy."""
    return style_source(_STYLE)


def _lines(sheet: LabelSheet) -> Iterator[str]:
    yield f"<p>{escape(_summary(len(sheet.labels)))}</p>"
    if sheet.labels and sheet.left_out:
        told = LABEL_SENTENCES["some_left_out"].format(count=len(sheet.left_out))
        yield f"<p>{escape(told)}</p>"
    if sheet.labels:
        yield '<ul class="labels">'
        yield from map(_label, sheet.labels)
        yield "</ul>"
    if sheet.left_out:
        yield '<section class="left-out">'
        yield f"<h2>{escape(LABEL_SENTENCES['left_out'])}</h2>"
        yield f"<p>{escape(LABEL_SENTENCES['why_left_out'])}</p>"
        yield "<ul>"
        yield from (f"<li>{escape(_whom(each))}: {escape(each.reason)}</li>" for each in sheet.left_out)
        yield "</ul>"
        yield "</section>"


def _summary(label_count: int) -> str:
    match label_count:
        case 0:
            return LABEL_SENTENCES["no_label"]
        case 1:
            return LABEL_SENTENCES["one_label"]
    return LABEL_SENTENCES["labels"].format(count=label_count)


def _label(label: KitLabel) -> str:
    facts = "".join(map(_fact, label.facts))
    cautions = "".join(f"<li>{escape(text)}</li>" for text in label.cautions)
    return (
        f"<li><h2>{escape(label.reference)}</h2><p>{escape(label.subtitle)}</p><dl>{facts}</dl>"
        + (f'<ul class="cautions">{cautions}</ul>' if cautions else "")
        + "</li>"
    )


def _fact(fact: Fact) -> str:
    """Return a fact; names that somebody wrote keep their own direction."""
    written = ", ".join(f"<bdi>{escape(name)}</bdi>" for name in fact.written)
    told = [*([written] if written else []), *map(escape, fact.texts)]
    return f"<dt>{escape(fact.name)}</dt>" + "".join(f"<dd>{text}</dd>" for text in told)


def _whom(left_out: LeftOut) -> str:
    sentence = "no_reference" if left_out.reference is None else "participant"
    return LABEL_SENTENCES[sentence].format(number=left_out.number, reference=left_out.reference)
