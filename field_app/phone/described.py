"""Packages without their descriptions: nobody reads on a phone what a class of the toolkit is for.

Each description gives way to a dot, and its lines stay, so that a message still names the right line.
An empty one would not do: for a class without any, Python works one out, which takes long.
"""

from __future__ import annotations

import ast

__all__ = ["without_descriptions"]


def without_descriptions(code: bytes) -> bytes:
    """The code of a module, with a dot for each text that stands by itself.

    >>> without_descriptions(b'class A:\\n    "What it is."\\n    x = "y"\\n')
    b'class A:\\n    "."\\n    x = "y"\\n'
    """
    lines = code.splitlines(keepends=True)
    alone = [node.value for node in ast.walk(ast.parse(code)) if isinstance(node, ast.Expr)
             and isinstance(node.value, ast.Constant) and isinstance(node.value.value, str)]
    # From the end, so that the places of those before stay right; they are counted in bytes of UTF-8.
    for text in sorted(alone, key=lambda one: one.lineno, reverse=True):
        first, last = text.lineno - 1, (text.end_lineno or text.lineno) - 1
        head, tail = lines[first][:text.col_offset], lines[last][text.end_col_offset:]
        if tail.strip():
            continue  # something else follows on the line
        lines[first:last + 1] = [head + b'"."\n', *[b"\n"] * (last - first)]
    return b"".join(lines)
