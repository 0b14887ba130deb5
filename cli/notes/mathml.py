"""Formulas as MathML; a long one is cut into several so that a narrow page can break between them."""

from html import escape

from cli.notes.formula import Fenced, Formula, Fraction, Indexed, Leaf, Power, Root, Row, Tree

# Letters that fit on a line beside a title and a clause.
_WIDEST = 38
_TAGS = {"letter": "mi", "upright": "mtext", "number": "mn", "sign": "mo"}


def mathml(formula: Formula) -> str:
    """The formula as one or several MathML elements."""
    return " ".join(f'<math displaystyle="true">{_markup(part)}</math>' for part in _parts(formula.tree))


def _parts(tree: Tree) -> list[Tree]:
    """The tree, cut before its outermost signs as often as its width asks for."""
    if not isinstance(tree, Row) or _width(tree) <= _WIDEST or not any(map(_is_break, tree.items)):
        return [tree]
    parts: list[list[Tree]] = [[]]
    for item in tree.items:
        if _is_break(item) and parts[-1] and _width(Row(tuple(parts[-1]))) > _WIDEST // 3:
            parts.append([])
        parts[-1].append(item)
    return [Row(tuple(items)) for items in parts]


def _is_break(item: Tree) -> bool:
    return isinstance(item, Leaf) and item.kind == "sign" and item.text in "+−×"


def _width(tree: Tree) -> int:
    """Letters side by side, roughly."""
    match tree:
        case Leaf(text=text):
            return len(text) + (2 if tree.kind == "sign" else 0)
        case Indexed(base=base, index=index):
            return _width(base) + (len(index) + 1) // 2
        case Row(items=items):
            return sum(map(_width, items))
        case Fraction(over=over, under=under):
            return max(_width(over), _width(under))
        case Power(base=base, exponent=exponent):
            return _width(base) + (_width(exponent) + 1) // 2
        case Root(inside=inside):
            return _width(inside) + 1
    return _width(tree.inside) + 2


def _markup(tree: Tree) -> str:
    match tree:
        case Leaf(kind="sign", text=","):
            return '<mo separator="true">,</mo>'
        case Leaf(kind=kind, text=text):
            return f"<{_TAGS[kind]}>{escape(text)}</{_TAGS[kind]}>"
        case Indexed(base=base, index=index):
            return f"<msub>{_markup(base)}<mtext>{escape(index)}</mtext></msub>"
        case Row(items=items):
            return f"<mrow>{''.join(map(_markup, items))}</mrow>"
        case Fraction(over=over, under=under):
            return f"<mfrac>{_markup(over)}{_markup(under)}</mfrac>"
        case Power(base=base, exponent=exponent):
            return f"<msup>{_markup(base)}{_markup(exponent)}</msup>"
        case Root(inside=inside):
            return f"<msqrt>{_markup(inside)}</msqrt>"
        case Fenced(opening=opening, inside=inside, closing=closing):
            return f"<mrow><mo>{opening}</mo>{_markup(inside)}<mo>{closing}</mo></mrow>"
    raise TypeError(f"{type(tree).__name__} is no piece of a formula")
