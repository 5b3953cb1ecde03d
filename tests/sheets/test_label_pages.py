"""Pages of labels: names are only text, a label is whole, and headings and lists are real."""

from base64 import b64encode
from hashlib import sha256
from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st

from service.sheets.kit_labels import Fact, KitLabel, LabelSheet, LeftOut, label_title
from service.sheets.label_pages import label_page, label_style_policy
from tests.orders import TABLES
from tests.sheets.sheets import free_text


class _Page(HTMLParser):
    """The elements of a page, nested as they are, and the texts of those that hold free text."""

    def __init__(self, source: str) -> None:
        super().__init__()
        self.paths: list[str] = []
        self.texts: list[str] = []
        self.style = ""
        self._open: list[str] = []
        self.feed(source)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag != "meta":
            self._open.append(tag)
        self.paths.append(" ".join(self._open))
        if tag == "bdi":
            self.texts.append("")

    def handle_endtag(self, tag: str) -> None:
        assert self._open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self._open and self._open[-1] == "bdi":
            self.texts[-1] += data
        if self._open and self._open[-1] == "style":
            self.style += data


def _label(*written: str, cautions: tuple[str, ...] = ()) -> KitLabel:
    return KitLabel("seat-1", "Kit 1: US terms.", (Fact("Yarn", ("2 balls.",), written),), cautions)


def _sheet(*labels: KitLabel, left_out: tuple[LeftOut, ...] = ()) -> LabelSheet:
    return LabelSheet("en", "Kit labels", labels, left_out)


@given(names=st.lists(free_text(), max_size=2))
def test_names_are_only_text_whatever_they_hold(names: list[str]) -> None:
    page = _Page(label_page(_sheet(_label(*names))))

    assert page.texts == names
    assert [path for path in page.paths if path.endswith("script")] == []


@given(names=st.lists(free_text(), min_size=1, max_size=2))
def test_the_frame_of_a_page_is_the_same_for_all_names(names: list[str]) -> None:
    told = _Page(label_page(_sheet(_label(*names)))).paths

    assert told == _Page(label_page(_sheet(_label(*["wool"] * len(names))))).paths


def test_every_label_is_an_entry_of_one_list_with_its_own_heading() -> None:
    page = _Page(label_page(_sheet(_label("wool", cautions=("No ties.",)), _label())))

    assert page.paths.count("html body main ul") == 1
    assert page.paths.count("html body main ul li") == 2
    assert page.paths.count("html body main ul li h2") == 2
    assert page.paths.count("html body main ul li ul li") == 1


def test_those_without_a_kit_are_a_list_of_their_own() -> None:
    left_out = (LeftOut(2, "seat-2", "Too small."), LeftOut(3, None, "A name."))

    page = label_page(_sheet(_label(), left_out=left_out))

    assert "<li>Participant 2, seat-2: Too small.</li>" in page
    assert "<li>Participant 3, whose reference was refused: A name.</li>" in page
    assert "Without a kit: 2." in page


def test_the_policy_allows_exactly_the_style_of_the_page() -> None:
    style = _Page(label_page(_sheet(_label()))).style

    assert label_style_policy() == f"'sha256-{b64encode(sha256(style.encode()).digest()).decode()}'"


def test_the_page_is_black_on_white() -> None:
    style = _Page(label_page(_sheet(_label()))).style

    assert "background: #fff; color: #000;" in style
    assert style.count("#") == 3


def test_without_a_plan_the_labels_have_a_title_all_the_same() -> None:
    assert label_title(None, terms_id="us", tables=TABLES) == "Kit labels"
