"""The page of the phone's app: the client's own, with our look, our scripts and a policy that lets nothing out."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from collections.abc import Mapping
from pathlib import Path

from field_app.phone.client import patched

__all__ = ["page_files", "service_worker"]

_WEB = Path(__file__).with_name("web")
_INLINE = re.compile(r"<script>(.*?)</script>", re.DOTALL)
_PLACE_OF_POLICY = '<meta charset="UTF-8">'

#: What the client is told of where things are and how it runs.
_CONFIG = """<script>
Object.assign(flet, {{
  pyodide: true, noCdn: true, webRenderer: "canvaskit", routeUrlStrategy: "hash", pyodideUrl: "./pyodide/pyodide.mjs",
  canvasKitBaseUrl: "{base}canvaskit/", fontFallbackBaseUrl: "assets/fonts/", entrypointBaseUrl: "{base}",
  assetBase: "{base}", pythonModuleName: "field_app.main",
}});
</script>"""

_LOOK = """<style>
      .notice, #update {{ position: fixed; z-index: 2147483647; font: 18px/1.5 sans-serif; color: var(--ink);
        background: var(--ground); box-sizing: border-box; }}
      .notice {{ inset: 0; padding: 16vh 20px 20px; overflow: auto; }}
      .notice h1 {{ font-size: 26px; line-height: 1.25; }}
      .notice > h1, .notice > p {{ max-width: 34em; margin: 0 auto 16px; }}
      .notice > button {{ display: block; width: 100%; max-width: 34em; margin: 0 auto 12px; }}
      .notice button, #update button {{ min-height: 56px; padding: 8px 20px; border: 2px solid var(--ink);
        border-radius: 12px; font: bold 18px sans-serif; color: var(--ink); background: none; }}
      .notice button:first-of-type {{ color: var(--ground); background: var(--ink); }}
      #update {{ inset: 0 0 auto 0; padding: 12px 20px; border-bottom: 2px solid var(--ink); display: flex;
        flex-wrap: wrap; gap: 12px; justify-content: center; }}
      #update p {{ flex: 1 0 100%; margin: 0; font-size: 16px; }}
      #update button {{ flex: 1; max-width: 16em; min-height: 48px; }}
      #update button:first-of-type {{ color: var(--ground); background: var(--ink); }}
    </style>"""


def page_files(assets: Path, base: str) -> dict[str, bytes]:
    """The page, its scripts, the manifest and the icons.

    assets: the folder of the page that the desktop shows; base: the path on the host, with a slash at both ends.
    """
    page = patched((assets / "index.html").read_text(encoding="utf-8"), "index.html", {
        '<base href="/">': f'<base href="{base}">',
        "<!-- fletAppConfig -->": _CONFIG.format(base=base),
        '<script src="closed.js"></script>': '<script src="page.js"></script>',
        "</head>": f"{_LOOK.format()}\n</head>",
        ' crossorigin="use-credentials"': "",
    })
    page = re.sub(r"\n *<!-- Without credentials .*? -->", "", page)
    page = patched(page, "index.html", {_PLACE_OF_POLICY: (
        f'{_PLACE_OF_POLICY}\n  <meta http-equiv="Content-Security-Policy" content="{_policy(page)}">')})
    manifest = json.loads((assets / "manifest.json").read_text(encoding="utf-8"))
    manifest |= {"id": base, "start_url": base, "scope": base}
    files = {"index.html": page.encode(), "manifest.json": json.dumps(manifest, indent=1).encode()}
    for name in ("page.js", "python-worker.js"):
        files[name] = (_WEB / name).read_bytes()
    names = ("words.js", "opening.js", "favicon.png", "mark.svg")
    for path in (*(assets / name for name in names), *(assets / "icons").glob("*.png")):
        files[path.relative_to(assets).as_posix()] = path.read_bytes()
    return files


def _policy(page: str) -> str:
    hashes = " ".join(f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
                      for text in _INLINE.findall(page))
    return "; ".join((
        "default-src 'self'",
        f"script-src 'self' 'wasm-unsafe-eval' {hashes}",
        "style-src 'self' 'unsafe-inline'",  # the client styles what it makes
        "img-src 'self' data: blob:",
        "font-src 'self' data:",
        "connect-src 'self'",
        "worker-src 'self' blob:",
        "base-uri 'self'",
        "object-src 'none'",
        "form-action 'none'",
    ))


def service_worker(name: str, hashes: Mapping[str, str], page: str) -> bytes:
    """The script that keeps a build on the phone: its name, what belongs to it, and the page's policy."""
    text = (_WEB / "sw.js").read_text(encoding="utf-8")
    return patched(text, "sw.js", {
        "@BUILD@": name, "@FILES@": json.dumps(dict(hashes), indent=1), "@POLICY@": _policy(page)}).encode()
