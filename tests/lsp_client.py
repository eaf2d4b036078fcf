"""The side of the language server protocol that an editor has: JSON over the pipes of a server, with time limits."""

from __future__ import annotations

import json
import queue
import subprocess
import threading
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

SECONDS = 60.0
"""How long an answer may take on a machine that does other things too; what is measured is measured elsewhere."""


class Client:
    """An editor with one server."""

    def __init__(
        self,
        command: Sequence[str | Path],
        *,
        settings: dict[str, Any] | None = None,
        capabilities: dict[str, Any] | None = None,
        options: Any = None,
        root: Path | None = None,
        **process: Any,
    ) -> None:
        """``settings`` are by section what the server asks for, ``options`` its own options; ``process`` goes on to the
        process that runs the server."""
        self.server = subprocess.Popen(
            [*map(str, command)], stdin=subprocess.PIPE, stdout=subprocess.PIPE, bufsize=0, **process
        )
        self.settings = settings or {}
        self.asked = 0
        self.noted: list[dict[str, Any]] = []
        self._arrived: queue.Queue[dict[str, Any] | None] = queue.Queue()
        self._reader = threading.Thread(target=self._read, daemon=True)
        self._reader.start()
        self.capabilities = self.ask(
            "initialize",
            processId=None,
            rootUri=None if root is None else root.as_uri(),
            capabilities=capabilities or {"workspace": {"configuration": True}},
            initializationOptions=options,
        )["capabilities"]
        self.tell("initialized")

    def close(self) -> None:
        """End the server without asking it."""
        if self.server.poll() is None:
            self.server.kill()
            self._end()

    def shut_down(self) -> int:
        """End the server as the protocol has it; its exit code."""
        self.ask("shutdown")
        self._send({"method": "exit"})
        return self._end()

    def hang_up(self) -> int:
        """Close the server's input, as an editor does that crashes; its exit code."""
        assert self.server.stdin is not None
        self.server.stdin.close()
        return self._end()

    def _end(self) -> int:
        code = self.server.wait(SECONDS)
        self._reader.join(SECONDS)
        for pipe in (self.server.stdin, self.server.stdout):
            assert pipe is not None
            pipe.close()
        return code

    def tell(self, method: str, **params: Any) -> None:
        self._send({"method": method, "params": params})

    def ask(self, method: str, **params: Any) -> Any:
        """What the server answers; what it tells on the way is noted."""
        answer = self.reply(method, **params)
        assert "error" not in answer, answer
        return answer["result"]

    def reply(self, method: str, **params: Any) -> dict[str, Any]:
        """The whole answer, which may be an error."""
        self.asked += 1
        number = self.asked
        self._send({"id": number, "method": method, **({"params": params} if params else {})})
        return self._until(lambda message: message.get("id") == number and "method" not in message)

    def open(self, uri: str | Path, text: str, version: int = 1) -> list[dict[str, Any]]:
        """Open a document; what is wrong with it."""
        uri = uri.as_uri() if isinstance(uri, Path) else uri
        self.noted.clear()
        document = {"uri": uri, "languageId": "yaml", "version": version, "text": text}
        self.tell("textDocument/didOpen", textDocument=document)
        return self.published(uri)

    def change(self, uri: str | Path, text: str, version: int) -> None:
        """Change the whole text of a document."""
        uri = uri.as_uri() if isinstance(uri, Path) else uri
        self.noted.clear()
        self.tell(
            "textDocument/didChange", textDocument={"uri": uri, "version": version}, contentChanges=[{"text": text}]
        )

    def published(self, uri: str | Path, version: int | None = None) -> list[dict[str, Any]]:
        """What the server next says is wrong with a document, or with this version of it."""
        uri = uri.as_uri() if isinstance(uri, Path) else uri

        def wanted(message: dict[str, Any]) -> bool:
            params = message.get("params") or {}
            mine = message.get("method") == "textDocument/publishDiagnostics" and params["uri"] == uri
            return mine and version in (None, params.get("version"))

        for number, message in enumerate(self.noted):
            if wanted(message):
                return self.noted.pop(number)["params"]["diagnostics"]  # type: ignore[no-any-return]
        return self._until(wanted)["params"]["diagnostics"]  # type: ignore[no-any-return]

    def _until(self, wanted: Callable[[dict[str, Any]], bool]) -> dict[str, Any]:
        while True:
            message = self._arrived.get(timeout=SECONDS)
            assert message is not None, f"the server is gone: {self.server.poll()}"
            if wanted(message):
                return message
            if "id" in message and "method" in message:
                items = (message.get("params") or {}).get("items", [])
                self._send({"id": message["id"], "result": [self.settings.get(i["section"]) for i in items] or None})
            else:
                self.noted.append(message)

    def _send(self, message: dict[str, Any]) -> None:
        data = json.dumps({"jsonrpc": "2.0", **message}).encode()
        assert self.server.stdin is not None
        self.server.stdin.write(b"Content-Length: %d\r\n\r\n%s" % (len(data), data))

    def _read(self) -> None:
        """Take in messages; anything on the wire that is none ends it."""
        pipe = self.server.stdout
        assert pipe is not None
        try:
            while True:
                size = 0
                while (line := self._line(pipe)) != b"\r\n":
                    name, colon, value = line.partition(b":")
                    assert colon, line
                    size = int(value) if name.lower() == b"content-length" else size
                body = b""
                while len(body) < size:
                    body += pipe.read(size - len(body))
                self._arrived.put(json.loads(body))
        except (AssertionError, OSError, ValueError):
            self._arrived.put(None)

    @staticmethod
    def _line(pipe: Any) -> bytes:
        line = b""
        while not line.endswith(b"\n"):
            byte = pipe.read(1)
            assert byte, "the end"
            line += byte
        return line


def place_of(text: str, mark: str, behind: int = 0) -> dict[str, int]:
    """Where a mark first stands in a text, in UTF-16, and so many characters behind its start."""
    before = text[: text.index(mark) + behind].split("\n")
    return {"line": len(before) - 1, "character": len(before[-1].encode("utf-16-le")) // 2}
