"""Every operation of the document, ready to be asked: path filled in, a body that is well formed."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Step:
    """One operation. `scope`: None needs no key. `needs_id`: its path names something that belongs to an account."""

    id: str
    method: str
    template: str
    scope: str | None
    body: Any
    content_type: str | None
    needs_precondition: bool

    @property
    def needs_id(self) -> bool:
        return "{" in self.template

    def path(self, ids: Mapping[str, str]) -> str:
        return re.sub(r"\{(\w+)\}", lambda found: ids[found.group(1)], self.template)

    def ask(self, client: Any, ids: Mapping[str, str], **headers: str) -> Any:
        """Sends the example body, with `If-Match: *` where one is needed."""
        if self.needs_precondition:
            headers.setdefault("If-Match", "*")
        sent = {} if self.body is None else {"json": self.body, "content_type": self.content_type}
        return client.open(self.path(ids), method=self.method, headers=headers, **sent)


def every_operation(document: Mapping[str, Any]) -> Iterator[Step]:
    for template, item in document["paths"].items():
        for method, operation in item.items():
            if method == "parameters":
                continue
            content = operation.get("requestBody", {}).get("content", {})
            content_type = next(iter(content), None)
            parameters = [parameter.get("$ref", "") for parameter in operation.get("parameters", [])]
            yield Step(
                id=operation["operationId"],
                method=method.upper(),
                template=template,
                scope=next((scope for needed in operation["security"] for scope in needed["apiKey"]), None),
                body=content[content_type]["example"] if content_type else None,
                content_type=content_type,
                needs_precondition="#/components/parameters/If-Match" in parameters,
            )
