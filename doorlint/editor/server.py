"""The language server: it wires the functions of this room to the protocol, over standard input and output.

One thread does all the work, in the order in which it is asked for, while the wire stays open.
"""

from __future__ import annotations

import asyncio
import gc
import os
import sys
import threading
import time
import traceback
from collections.abc import Callable, Generator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any, BinaryIO, TypeVar

from lsprotocol import types as lsp
from pygls.lsp.server import LanguageServer
from pygls.protocol import LanguageServerProtocol, lsp_method
from pygls.uris import to_fs_path

from doorlint.editor.actions import actions
from doorlint.editor.completion import completions
from doorlint.editor.definition import definitions
from doorlint.editor.diagnostics import diagnostics, not_reviewed
from doorlint.editor.document import Document, reviewed
from doorlint.editor.hover import hover
from doorlint.editor.protocol import Action, Diagnostic, Item, Location, Position, Range
from doorlint.editor.settings import call_for
from doorlint.errors import DoorlintError
from doorlint.file_input import PathName
from doorlint.resources import folder
from doorlint.settings import NAME
from doorlint.version import __version__

__all__ = ["serve"]

QUIET = 0.2
"""Seconds without a change before a text is reviewed."""
SEARCH = 3.0
"""Seconds that remedies are searched for."""
WATCHED = (f"**/{NAME}", "**/*.yaml", "**/*.yml")
"""Files that a review rests on beside the spec: settings, house rules, sign-offs."""

T = TypeVar("T")

SEVERITIES = {
    "error": lsp.DiagnosticSeverity.Error,
    "warning": lsp.DiagnosticSeverity.Warning,
    "advisory": lsp.DiagnosticSeverity.Information,
}
QUICK_FIX, REFACTOR = lsp.CodeActionKind.QuickFix, lsp.CodeActionKind.Refactor
KINDS = {
    "key": lsp.CompletionItemKind.Property,
    "value": lsp.CompletionItemKind.EnumMember,
    "unit": lsp.CompletionItemKind.Unit,
    "name": lsp.CompletionItemKind.Reference,
}


def serve(cache: PathName | None) -> None:
    """Speak the protocol until the editor ends it; ``cache`` is the folder for what is kept between runs."""
    stdin, stdout = _own_streams()
    gc.enable()
    _made(cache).start_io(stdin, stdout)


def _own_streams() -> tuple[BinaryIO, BinaryIO]:
    """Standard input and output for the protocol alone: whatever else prints goes to standard error."""
    wire = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    sys.stdout = sys.stderr
    return sys.stdin.buffer, wire


class _Protocol(LanguageServerProtocol):
    """The protocol with positions in UTF-16, which every editor knows, whatever else one offers.

    pygls 2.1 holds the future of every notification for good; those that are done are let go here.
    """

    def _handle_notification(self, method_name: str, params: Any) -> None:
        super()._handle_notification(method_name, params)
        for number in [number for number, future in self._request_futures.items() if future.done()]:
            self._request_futures.pop(number, None)

    @lsp_method(lsp.INITIALIZE)
    def lsp_initialize(self, params: lsp.InitializeParams) -> Generator[Any, Any, lsp.InitializeResult]:
        if params.capabilities.general is not None:
            params.capabilities.general.position_encodings = [lsp.PositionEncodingKind.Utf16]
        return (yield from super().lsp_initialize(params))


class _Desk:
    """The texts that an editor has open, each as it was reviewed last."""

    def __init__(self, server: LanguageServer, cache: PathName | None) -> None:
        self.server, self.cache = server, cache
        self.worker = ThreadPoolExecutor(1, "doorlint")
        self.texts: dict[str, tuple[str, int | None]] = {}
        """the text of every open document as it is now, with its version, by the URI that the editor writes"""
        self.documents: dict[str, Document | None] = {}
        self.waiting: dict[str, asyncio.TimerHandle] = {}
        self.tasks: set[asyncio.Task[None]] = set()
        self.with_keys = True
        self.typed = threading.Event()
        """set when a search that is under way has to end"""

    async def work(self, function: Callable[..., T], *arguments: Any) -> T:
        """What a function returns that is called where everything is worked out."""
        return await asyncio.get_running_loop().run_in_executor(self.worker, function, *arguments)

    def take(self, uri: str, version: int | None) -> None:
        """Take in the text of a document that was opened or changed."""
        self.texts[uri] = str(self.server.workspace.get_text_document(uri).source), version

    def later(self, uri: str) -> None:
        """Review a text once nobody has typed for a moment."""
        self.settle(uri)
        self.typed.set()
        self.waiting[uri] = asyncio.get_running_loop().call_later(QUIET, self.now, uri)

    def now(self, uri: str) -> None:
        """Review a text without waiting."""
        self.settle(uri)
        task = asyncio.ensure_future(self.review(uri))
        self.tasks.add(task)
        task.add_done_callback(self.tasks.discard)

    def settle(self, uri: str) -> None:
        """Let no review of a text wait."""
        waiting = self.waiting.pop(uri, None)
        if waiting is not None:
            waiting.cancel()

    def close(self, uri: str) -> None:
        """Forget a text, and what was said of it."""
        self.settle(uri)
        self.typed.set()
        self.texts.pop(uri, None)
        self.documents.pop(uri, None)
        self.publish(uri, None, ())

    async def review(self, uri: str) -> None:
        """Review a text and publish what is wrong, unless it has changed meanwhile."""
        if uri not in self.texts:
            return
        text, version = self.texts[uri]
        try:
            document = await self.work(_review, _path(uri), text, self.cache, self.documents.get(uri))
            found = () if document is None else await self.work(diagnostics, document)
        except DoorlintError as error:
            document, found = self.documents.get(uri), (not_reviewed(str(error)),)
        except Exception as error:
            traceback.print_exc()
            said = f"doorlint itself failed on it: {type(error).__name__}: {error}"
            document, found = self.documents.get(uri), (not_reviewed(said),)
        if self.texts.get(uri) == (text, version):
            self.documents[uri] = document
            self.publish(uri, version, found)

    async def current(self, uri: str) -> Document | None:
        """A document of the text as it is now."""
        document = self.documents.get(uri)
        if uri in self.texts and (document is None or document.text != self.texts[uri][0]):
            self.settle(uri)
            await self.review(uri)
        return self.documents.get(uri)

    def publish(self, uri: str, version: int | None, found: tuple[Diagnostic, ...]) -> None:
        """Tell the editor what is wrong with a text."""
        said = [_diagnostic(diagnostic, uri) for diagnostic in found]
        self.server.text_document_publish_diagnostics(lsp.PublishDiagnosticsParams(uri, said, version))

    def all_again(self) -> None:
        """Review every open text: what their reviews rest on has changed."""
        for uri in list(self.texts):
            self.now(uri)


def _made(cache: PathName | None) -> LanguageServer:
    """The server with all that it answers."""
    server = LanguageServer(
        "doorlint", __version__, lsp.TextDocumentSyncKind.Full, protocol_cls=_Protocol, max_workers=2
    )
    desk = _Desk(server, cache)
    _listen(server, desk)
    _answer(server, desk)
    return server


def _listen(server: LanguageServer, desk: _Desk) -> None:
    """What the editor tells: which texts are open and how they change."""

    @server.feature(lsp.INITIALIZE)
    def initialize(params: lsp.InitializeParams) -> None:
        options = params.initialization_options
        desk.with_keys = not isinstance(options, dict) or options.get("complete_keys", True) is not False

    @server.feature(lsp.INITIALIZED)
    async def initialized(_params: lsp.InitializedParams) -> None:
        desk.worker.submit(_warm_up, cache=desk.cache)
        capabilities = server.client_capabilities.workspace
        watching = capabilities.did_change_watched_files if capabilities is not None else None
        if watching is not None and watching.dynamic_registration:
            options = lsp.DidChangeWatchedFilesRegistrationOptions([lsp.FileSystemWatcher(name) for name in WATCHED])
            registration = lsp.Registration("watched", lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES, options)
            await server.client_register_capability_async(lsp.RegistrationParams([registration]))

    @server.feature(lsp.SHUTDOWN)
    def shut_down(_params: None) -> None:
        desk.typed.set()

    @server.feature(lsp.TEXT_DOCUMENT_DID_OPEN)
    async def opened(params: lsp.DidOpenTextDocumentParams) -> None:
        desk.take(params.text_document.uri, params.text_document.version)
        desk.now(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CHANGE)
    async def changed(params: lsp.DidChangeTextDocumentParams) -> None:
        desk.take(params.text_document.uri, params.text_document.version)
        desk.later(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_CLOSE)
    async def closed(params: lsp.DidCloseTextDocumentParams) -> None:
        desk.close(params.text_document.uri)

    @server.feature(lsp.TEXT_DOCUMENT_DID_SAVE)
    async def saved(_params: lsp.DidSaveTextDocumentParams) -> None:
        desk.all_again()

    @server.feature(lsp.WORKSPACE_DID_CHANGE_WATCHED_FILES)
    async def watched(_params: lsp.DidChangeWatchedFilesParams) -> None:
        desk.all_again()


def _answer(server: LanguageServer, desk: _Desk) -> None:
    """What the editor asks."""

    @server.feature(lsp.TEXT_DOCUMENT_HOVER)
    async def hovered(params: lsp.HoverParams) -> lsp.Hover | None:
        uri = params.text_document.uri
        document = await desk.current(uri)
        if document is None:
            return None
        found = await desk.work(hover, document, _position(params.position))
        if found is None:
            return None
        return lsp.Hover(lsp.MarkupContent(lsp.MarkupKind.Markdown, found.markdown), _range(found.range))

    @server.feature(lsp.TEXT_DOCUMENT_COMPLETION, lsp.CompletionOptions(trigger_characters=[" ", ":", "{", ",", "["]))
    async def completed(params: lsp.CompletionParams) -> lsp.CompletionList:
        uri = params.text_document.uri
        if uri not in desk.texts:
            return lsp.CompletionList(False, [])
        position, text = _position(params.position), desk.texts[uri][0]
        items = await desk.work(_completions, _path(uri), desk.cache, desk.documents.get(uri), text, position,
                                desk.with_keys)  # fmt: skip
        return lsp.CompletionList(False, [_item(item, number) for number, item in enumerate(items)])

    @server.feature(lsp.TEXT_DOCUMENT_DEFINITION)
    async def defined(params: lsp.DefinitionParams) -> list[lsp.Location]:
        uri = params.text_document.uri
        document = await desk.current(uri)
        if document is None:
            return []
        found = await desk.work(definitions, document, _position(params.position))
        return [_location(location, uri) for location in found]

    @server.feature(lsp.TEXT_DOCUMENT_CODE_ACTION, lsp.CodeActionOptions([QUICK_FIX, REFACTOR]))
    async def offered(params: lsp.CodeActionParams) -> list[lsp.CodeAction]:
        uri = params.text_document.uri
        document = await desk.current(uri)
        if document is None:
            return []
        desk.typed.clear()
        asked = params.context.trigger_kind != lsp.CodeActionTriggerKind.Automatic
        end = time.monotonic() + SEARCH
        span = Range(_position(params.range.start), _position(params.range.end))
        try:
            found = await desk.work(
                actions, document, span, lambda: desk.typed.is_set() or time.monotonic() > end, asked
            )
        except asyncio.CancelledError:
            desk.typed.set()
            raise
        return [_code_action(action, params) for action in found if _is_asked(action, params.context.only)]


# what is worked out


def _warm_up(cache: PathName | None) -> None:
    """Do once what the first review would have to wait for."""
    sample = folder("sample_specs") / "tower-order.yaml"
    _review(str(sample), sample.read_text("utf-8"), cache, None)
    gc.collect()
    gc.freeze()


def _review(path: str, text: str, cache: PathName | None, before: Document | None) -> Document | None:
    return reviewed(path, text, call_for(path, cache), before)


def _completions(
    path: str, cache: PathName | None, document: Document | None, text: str, position: Position, with_keys: bool
) -> tuple[Item, ...]:
    try:
        call = call_for(path, cache)
    except DoorlintError:
        return ()
    return completions(document, call.library(), text, position, call.policy.on, with_keys)


# to and from the protocol


def _path(uri: str) -> str:
    """The file of a document; one that was never saved counts as a file of the working folder."""
    return to_fs_path(uri) or os.path.join(os.getcwd(), "untitled.yaml")


def _position(position: lsp.Position) -> Position:
    return Position(position.line, position.character)


def _range(span: Range) -> lsp.Range:
    return lsp.Range(lsp.Position(*span.start), lsp.Position(*span.end))


def _diagnostic(diagnostic: Diagnostic, uri: str) -> lsp.Diagnostic:
    related = [
        lsp.DiagnosticRelatedInformation(lsp.Location(uri, _range(place.range)), place.message)
        for place in diagnostic.related
    ]
    return lsp.Diagnostic(
        _range(diagnostic.range),
        diagnostic.message,
        severity=SEVERITIES[diagnostic.severity],
        code=diagnostic.rule or None,
        code_description=lsp.CodeDescription(diagnostic.link) if diagnostic.link else None,
        source="doorlint",
        related_information=related or None,
    )


def _item(item: Item, number: int) -> lsp.CompletionItem:
    return lsp.CompletionItem(
        item.label,
        kind=KINDS[item.kind],
        detail=item.detail or None,
        documentation=item.documentation or None,
        sort_text=f"{number:04}",
        filter_text=item.edit.text,
        text_edit=lsp.TextEdit(_range(item.edit.range), item.edit.text),
    )


def _kind(action: Action) -> lsp.CodeActionKind:
    return QUICK_FIX if action.is_fix else REFACTOR


def _is_asked(action: Action, only: Sequence[lsp.CodeActionKind | str] | None) -> bool:
    """Whether the editor asks for actions of its kind; a kind asks for those below it too."""
    if only is None:
        return True
    kind = _kind(action).value
    asked = [one.value if isinstance(one, lsp.CodeActionKind) else one for one in only]
    return any(not one or kind == one or kind.startswith(f"{one}.") for one in asked)


def _code_action(action: Action, params: lsp.CodeActionParams) -> lsp.CodeAction:
    edits = [lsp.TextEdit(_range(edit.range), edit.text) for edit in action.edits]
    settled = [diagnostic for diagnostic in params.context.diagnostics if diagnostic.code in action.rules]
    return lsp.CodeAction(
        action.title,
        kind=_kind(action),
        diagnostics=settled or None,
        edit=lsp.WorkspaceEdit(changes={params.text_document.uri: edits}),
    )


def _location(location: Location, uri: str) -> lsp.Location:
    return lsp.Location(Path(location.path).as_uri() if location.path else uri, _range(location.range))
