"""The document served: as JSON at /v1/openapi.json, and to be read at /docs, one page of plain HTML that needs nothing else."""

import base64
import hashlib
import json
import re
from typing import Any

import orjson
from flask import Flask, Response
from jinja2 import Environment
from markupsafe import Markup, escape

from service.api.answers import versioned
from service.api.document import openapi_document
from service.api.problems import PROBLEMS

_STYLE = """
:root { color-scheme: light dark; --line: #8886; --soft: #8881; --mark: #b4540a; }
body { font: 16px/1.55 system-ui, sans-serif; max-width: 62rem; margin: 0 auto; padding: 1.5rem; }
h1 { margin-bottom: 0; } h2 { margin-top: 3rem; border-bottom: 2px solid var(--mark); } h3 { margin: 2rem 0 .3rem; }
code, pre { font: 13px/1.45 ui-monospace, monospace; } 
pre { background: var(--soft); padding: .8rem; overflow: auto; max-height: 28rem; }
a { color: inherit; text-decoration-color: var(--mark); }
p code, td code, summary code { background: var(--soft); padding: 0 .2em; }
nav { columns: 3 16rem; font-size: 14px; margin-top: 2rem; } nav section { break-inside: avoid; margin-bottom: 1rem; }
nav ul { list-style: none; margin: 0; padding: 0; }
nav li a { text-decoration: none; } nav li a:hover { text-decoration: underline; }
details { margin: .3rem 0; } table + details { margin-top: .7rem; }
.method { display: inline-block; min-width: 4.2rem; font-weight: 700; color: var(--mark); }
table { border-collapse: collapse; width: 100%; font-size: 14px; } td, th { text-align: left; vertical-align: top;
  padding: .25rem .6rem .25rem 0; border-bottom: 1px solid var(--line); } summary { cursor: pointer; } .quiet { opacity: .75; }
"""

_PAGE = """<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta name="viewport" content="width=device-width, initial-scale=1">
<title>{{ info.title }}: reference</title><style>{{ style|safe }}</style></head><body>
<h1>{{ info.title }}</h1><p class="quiet">Version {{ info.version }} · <a href="/v1/openapi.json">OpenAPI document</a></p>
{% for paragraph in info.description.split("\n\n") %}<p>{{ paragraph|marked }}</p>{% endfor %}
<nav>{% for group in groups %}<section><a href="#{{ group.name|slug }}"><b>{{ group.name }}</b></a><ul>
{% for op in group.operations %}<li><a href="#{{ op.operationId }}">{{ op.summary }}</a></li>{% endfor %}</ul></section>
{% endfor %}<section><a href="#shapes"><b>Shapes</b></a></section><section><a href="#problems"><b>Problems</b></a></section></nav>
{% for group in groups %}<h2 id="{{ group.name|slug }}">{{ group.name }}</h2><p>{{ group.description }}</p>
{% for op in group.operations %}<h3 id="{{ op.operationId }}">{{ op.summary }}</h3>
<p><code><span class="method">{{ op.method }}</span>{{ op.path }}</code></p>
{% for paragraph in op.description.split("\n\n") %}<p>{{ paragraph|marked }}</p>{% endfor %}
{% if op.parameters %}<table>{% for p in op.parameters %}<tr><td><code>{{ p.name }}</code></td><td>{{ p.in }}</td>
<td>{{ p.description|marked }}</td></tr>{% endfor %}</table>{% endif %}
{% if op.sent %}<details><summary>Send {{ op.sent.shape|ref }} as <code>{{ op.sent.type }}</code></summary>
<pre>{{ op.sent.example }}</pre></details>{% endif %}
{% for answer in op.answers %}<details><summary>{{ answer.status }}{% if answer.shape %}: {{ answer.shape|ref }}{% endif %}
<span class="quiet">{{ answer.text|marked }}</span></summary>
{% if answer.example %}<pre>{{ answer.example }}</pre>{% endif %}</details>
{% endfor %}<p class="quiet">Refusals: {% for status in op.refusals %}
<a href="#{{ first_of[status] }}">{{ status }}</a>{{ ", " if not loop.last }}{% endfor %}</p>
{% endfor %}{% endfor %}
<h2 id="shapes">Shapes</h2>
{% for name, shape in shapes.items() %}<h3 id="shape-{{ name }}">{{ name }}</h3><p>{{ shape.description|marked }}</p><table>
{% for member, about in shape.properties.items() %}<tr><td><code>{{ member }}</code>{% if member in shape.required %} *{% endif %}
</td><td>{{ about|kind }}</td><td>{{ about.description|marked }}
{% if about.default is defined %}<span class="quiet">Default: {{ about.default|tojson }}.</span>{% endif %}</td></tr>
{% endfor %}</table>{% endfor %}<p class="quiet">* required, or always there in an answer.</p>
<h2 id="problems">Problems</h2>
{% for code, problem in problems.items() %}<h3 id="{{ code }}">{{ problem.title }}</h3>
<p><code>/docs#{{ code }}</code> · {{ problem.status }}</p><p>{{ problem.meaning|marked }}</p>{% endfor %}
</body></html>
"""


def register_reference(app: Flask) -> None:
    """Makes both once; they change only with the code."""
    document = openapi_document(app)
    as_json = orjson.dumps(document)
    mark = hashlib.sha256(as_json).hexdigest()[:16]
    page = reference_page(document).encode()
    style = base64.b64encode(hashlib.sha256(_STYLE.encode()).digest()).decode()
    policy = f"default-src 'none'; style-src 'sha256-{style}'; frame-ancestors 'none'; base-uri 'none'"

    @app.get("/v1/openapi.json", endpoint="getDocument")
    def openapi_json() -> Response:
        return versioned(mark, lambda: document)

    @app.get("/docs", endpoint="getReference")
    def docs() -> Response:
        return Response(page, content_type="text/html; charset=utf-8", headers={"Content-Security-Policy": policy})


def reference_page(document: dict[str, Any]) -> str:
    """The whole document as HTML."""
    environment = Environment(autoescape=True)
    environment.filters |= {"marked": _marked, "slug": _slug, "ref": _shape_link, "kind": _kind}
    groups = [
        {"name": tag["name"], "description": tag["description"], "operations": list(_operations(document, tag["name"]))}
        for tag in document["tags"]
    ]
    first_of = {str(problem.status): code for code, problem in reversed(PROBLEMS.items())}
    return environment.from_string(_PAGE).render(
        first_of=first_of, info=document["info"], style=_STYLE, groups=groups, shapes=_shapes(document), problems=PROBLEMS
    )


def _operations(document: dict[str, Any], tag: str) -> Any:
    for path, item in document["paths"].items():
        for method, operation in item.items():
            if method == "parameters" or tag not in operation["tags"]:
                continue
            given = [*item.get("parameters", []), *operation.get("parameters", [])]
            yield {
                **operation,
                "method": method.upper(),
                "path": path,
                "parameters": [_resolved(document, parameter) for parameter in given],
                "sent": next(iter(_media(operation.get("requestBody", {}))), None),
                "answers": [
                    {"status": status, "text": answer["description"], **next(iter(_media(answer)), {})}
                    for status, answer in operation["responses"].items()
                    if "$ref" not in answer
                ],
                "refusals": [status for status in operation["responses"] if status >= "400"],
            }


def _media(holder: dict[str, Any]) -> Any:
    for content_type, media in holder.get("content", {}).items():
        example = media.get("example", "")
        if not isinstance(example, str):
            example = json.dumps(example, indent=2, ensure_ascii=False)
        yield {"type": content_type, "shape": media["schema"] if "$ref" in media["schema"] else None, "example": example}


def _resolved(document: dict[str, Any], reference: dict[str, Any]) -> Any:
    if "$ref" not in reference:
        return reference
    _, *steps = reference["$ref"].split("/")
    found: Any = document
    for step in steps:
        found = found[step]
    return found


def _shapes(document: dict[str, Any]) -> dict[str, Any]:
    return {
        name: {"required": [], "properties": {}, "description": "", **shape}
        for name, shape in sorted(document["components"]["schemas"].items())
    }


def _shape_name(schema: dict[str, Any]) -> str:
    return str(schema.get("$ref", "")).rpartition("/")[2]


def _shape_link(schema: dict[str, Any]) -> Markup:
    name = _shape_name(schema)
    return Markup('<a href="#shape-{0}">{0}</a>').format(name)


def _kind(schema: dict[str, Any]) -> Markup:
    """A member's kind in a few words, shapes as links."""
    if "$ref" in schema:
        return _shape_link(schema)
    if "anyOf" in schema:
        return Markup(" or ").join(_kind(option) for option in schema["anyOf"])
    if "items" in schema:
        return Markup("list of {}").format(_kind(schema["items"]))
    kinds = schema.get("type", "any")
    name = " or ".join(kinds) if isinstance(kinds, list) else str(kinds)
    bounds = [str(schema[bound]) for bound in ("minimum", "maximum") if bound in schema]
    words = [str(word) for word in schema.get("enum", ()) if word is not None]
    return escape(f"{name} {' to '.join(bounds)}".strip() + (f": {', '.join(words)}" if words else ""))


def _marked(text: str | None) -> Markup:
    """The two marks that descriptions use: code and bold."""
    shown = re.sub(r"`([^`]+)`", r"<code>\1</code>", str(escape(text or "")))
    return Markup(re.sub(r"\*\*([^*]+)\*\*", r"<strong>\1</strong>", shown))


def _slug(name: str) -> str:
    return "".join(letter if letter.isalnum() else "-" for letter in name.lower())
