"""Settle what runs of words stand for: legs, chain spaces by name, lists of rounds, places left out."""

from service.notation.faults import NotUnderstood
from service.notation.styles import settled_styles
from service.notation.tokens import Token, stands_at

__all__ = ["settled_runs"]

_LEGS = frozenset("2345678")
_BEFORE_PLACES = frozenset(["NEXT", "EACH", "IN", "SAME", "SKIP"])
_ONE_SPACE = frozenset(["sp", "space", "lp", "loop"])
_ROUND_LIST = frozenset(["NUMBER", "DASH", "TO", "SEP"])
_PLACES = frozenset(["ST", "STITCH", "SPACE", "CH"])
_ENDS = frozenset(["AROUND", "SEP", "OPEN", "CLOSE", "DASH", "EQUALS", "COLON", "STAR"])


def settled_runs(tokens: list[Token]) -> list[Token]:
    """Return the tokens with each run of words that stands for one thing as that thing."""
    named = _with_chain_names(_with_named_spaces(settled_styles(tokens)))
    return _with_round_lists(_with_times_signs(_with_both_places(_with_legs(named))))


def _with_legs(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``sc 2 tog`` or ``sc 2 sts tog`` as the one stitch it is."""
    for index in [index for index, token in enumerate(tokens) if token.type == "TOG"][::-1]:
        if index > 1 and tokens[index - 1].type == "STITCH" and tokens[index - 2].value in _LEGS:
            legs, stitch = tokens[index - 2 : index]
            tokens[index - 2 : index + 1] = [
                Token("STITCH", f"{stitch.value}{legs.value}tog", legs.column, legs_column=legs.column)
            ]
            continue
        end = index - 1 if tokens[index - 1].type == "ST" else index
        if end > 1 and tokens[end - 1].type == "NUMBER" and tokens[end - 2].type == "STITCH":
            stitch, legs = tokens[end - 2], tokens[end - 1]
            if legs.value not in _LEGS:
                raise NotUnderstood(
                    column=legs.column, code="unexpected", detail="Two to eight stitches are worked together."
                )
            code = f"{stitch.value}{legs.value}tog"
            tokens[end - 2 : index + 1] = [Token("STITCH", code, stitch.column, legs_column=legs.column)]
    return tokens


def _with_named_spaces(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``ch 1 sp`` and ``1ch sp`` as ``ch-1 sp``: a space by the length of its chain.

    ``next 2 ch sps`` are two chain spaces; ``next 2 ch sp`` may be either.
    """
    for index in range(len(tokens) - 3, -1, -1):
        first, second, third = tokens[index : index + 3]
        if third.type != "SPACE":
            continue
        if (first.type, second.type) == ("CH", "NUMBER"):
            tokens[index] = Token("LOOP_NAME", "ch-", first.column)
        elif (first.type, second.type) == ("NUMBER", "CH"):
            is_close = second.column == first.column + len(first.value)
            is_placed = index > 0 and tokens[index - 1].type in _BEFORE_PLACES
            if is_close or (is_placed and first.value == "1"):
                tokens[index : index + 2] = [Token("LOOP_NAME", "ch-", first.column), first]
            elif is_placed and third.value in _ONE_SPACE:
                raise NotUnderstood(
                    column=first.column,
                    code="ambiguous",
                    detail=f"Write 'ch-{first.value} sp' for a space by its chain, or 'sps' for several.",
                )
    return tokens


def _with_round_lists(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``AND`` between the numbers of a list of rounds, no pause."""
    if not any(token.type == "ROUND" for token in tokens):
        return tokens
    found: list[Token] = []
    listing = False
    for index, token in enumerate(tokens):
        listing = token.type == "ROUND" or (listing and token.type in _ROUND_LIST)
        if token.value == "." and index and tokens[index - 1].type == "ROUND":
            continue
        if listing and token.type == "DASH" and _joins_rounds(tokens, index):
            found.append(Token("TO", token.value, token.column))
        elif not (listing and token.type == "SEP" and _joins_rounds(tokens, index)):
            found.append(token)
        elif not (stands_at(tokens, index + 2, "TIMES") or stands_at(tokens, index + 2, "MORE")):
            found.append(Token("AND", token.value, token.column))
    return found


def _joins_rounds(tokens: list[Token], index: int) -> bool:
    return tokens[index - 1].type == "NUMBER" and stands_at(tokens, index + 1, "NUMBER")


def _with_chain_names(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``top of ch 3`` and ``3rd of 3ch`` as of ``ch-3``, the chain that is there."""
    for index in range(len(tokens) - 3, -1, -1):
        if tokens[index].type not in ("TOP", "ORDINAL"):
            continue
        begin = index + 1
        while tokens[begin].type in ("CH", "BEG") and stands_at(tokens, begin + 2, "NUMBER"):
            begin += 1
        begin += stands_at(tokens, begin, "BEG")
        pair = tokens[begin : begin + 2]
        kinds = [token.type for token in pair]
        if kinds in (["CH", "NUMBER"], ["NUMBER", "CH"]) and not stands_at(tokens, begin + 2, "TIMES"):
            number = pair[kinds.index("NUMBER")]
            tokens[begin : begin + 2] = [Token("LOOP_NAME", "ch-", pair[0].column), number]
    return tokens


def _with_times_signs(tokens: list[Token]) -> list[Token]:
    """Return the tokens with the asterisk of ``[4 sc, dec] * 6`` as the sign of times that it is."""
    for index in range(1, len(tokens) - 1):
        is_sign = tokens[index].type == "STAR" and tokens[index - 1].type == "CLOSE"
        if is_sign and tokens[index + 1].type == "NUMBER" and not stands_at(tokens, index + 2, "STITCH"):
            tokens[index] = Token("X", "*", tokens[index].column)
    return tokens


def _with_both_places(tokens: list[Token]) -> list[Token]:
    """Return the tokens with ``in each st and ch-1 sp`` as ``in each st, in each ch-1 sp``."""
    for index in range(len(tokens) - 2, 1, -1):
        if tokens[index].type != "SEP":
            continue
        begin = _begin_of_place(tokens, index)
        if begin < 1 or tokens[begin - 1].type != "EACH":
            continue
        put = _words_left_out(tokens, index)
        tokens[index + 1 : index + 1] = [Token(kind, "", tokens[index + 1].column) for kind in put]
    return tokens


def _begin_of_place(tokens: list[Token], end: int) -> int:
    """Return where the name of the place begins that ends there, -1 if none does."""
    begin = end - 1
    if tokens[begin].type not in _PLACES:
        return -1
    if tokens[begin].type == "SPACE" and tokens[begin - 1].type in ("CH", "LOOP_NAME"):
        return begin - 1
    if tokens[begin].type == "SPACE" and begin > 1 and tokens[begin - 2].type == "LOOP_NAME":
        return begin - 2
    return begin


def _words_left_out(tokens: list[Token], index: int) -> list[str]:
    """Return which words are left out behind the pause before a second place."""
    after = index + 1
    if stands_at(tokens, after, "EACH"):
        return ["IN"]
    end = after
    while end < len(tokens) and (tokens[end].type in _PLACES or tokens[end].type in ("LOOP_NAME", "NUMBER")):
        end += 1
    names_place = end > after and _begin_of_place(tokens, end) == after
    ends = end == len(tokens) or tokens[end].type in _ENDS or stands_at(tokens, end + 1, "END")
    if not names_place or not ends:
        return []
    if tokens[after].type == "STITCH" and tokens[index].value == "and":
        raise NotUnderstood(
            column=tokens[after].column, code="ambiguous", detail="Say 'and in each …' or 'and … in each st'."
        )
    return (
        []
        if tokens[after].type in ("STITCH", "CH", "NUMBER") and len(tokens[after:end]) == 1
        else ["IN", "EACH"]
    )
