"""The server for trying a built folder: this machine alone, right types, nothing outside the folder."""

import http.client
import json
import threading

import pytest

from field_app.core.problems import Refused
from field_app.phone.serve import Server


@pytest.fixture
def folder(tmp_path):
    inside = tmp_path / "folder"
    (inside / "pyodide").mkdir(parents=True)
    (inside / "build.json").write_text(json.dumps({"made_by": "field-app phone", "base": "/book/"}), encoding="utf-8")
    (inside / "index.html").write_text("<p>", encoding="utf-8")
    (inside / "pyodide" / "it.wasm").write_bytes(b"\0asm")
    (inside / "pyodide" / "it.mjs").write_text("1", encoding="utf-8")
    (tmp_path / "secret.txt").write_text("mine", encoding="utf-8")
    (inside / "way.txt").symlink_to(tmp_path / "secret.txt")
    return inside


@pytest.fixture
def ask(folder):
    server = Server(folder, 0)
    thread = threading.Thread(target=server.serve_forever, args=(0.02,))
    thread.start()
    port = server.server_address[1]

    def get(path, method="GET", **headers):
        line = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
        line.putrequest(method, path, skip_host="Host" in headers)
        for name, value in headers.items():
            line.putheader(name.replace("_", "-"), value)
        line.endheaders()
        answer = line.getresponse()
        body = answer.read()
        line.close()
        return answer.status, dict(answer.headers), body

    yield get
    server.shutdown()
    server.server_close()
    thread.join(10)


@pytest.mark.parametrize(("path", "kind"), [
    ("/book/", "text/html; charset=utf-8"), ("/book/index.html?a=b", "text/html; charset=utf-8"),
    ("/book/pyodide/it.wasm", "application/wasm"), ("/book/pyodide/it.mjs", "text/javascript"),
])
def test_files_have_their_types(ask, path, kind):
    """A file comes with the type that browsers ask for, and is asked for again each time."""
    status, headers, body = ask(path)
    assert (status, headers["Content-Type"], headers["Cache-Control"]) == (200, kind, "no-cache")
    assert len(body) == int(headers["Content-Length"]) > 0


def test_what_did_not_change_is_not_sent_again(ask):
    """Who has the file already is told so."""
    _, headers, body = ask("/book/")
    assert ask("/book/", If_None_Match=headers["ETag"])[::2] == (304, b"")
    assert ask("/book/", "HEAD")[::2] == (200, b"")
    assert body == b"<p>"


@pytest.mark.parametrize("path", ["/", "/book", "/book/none", "/book/../secret.txt", "/book/%2e%2e/secret.txt",
                                  "/book/way.txt", "/book/pyodide", "/book//etc/passwd"])
def test_nothing_else_is_served(ask, path):
    """Outside the folder and its path there is nothing, not even over a link."""
    assert ask(path)[0] == 404


def test_another_name_is_refused(ask):
    """A name that somebody made lead to this machine is not answered."""
    assert ask("/book/", Host="field-book.example")[0] == 403


def test_only_a_built_folder_is_served(tmp_path):
    """Any other folder is refused, with what to do."""
    with pytest.raises(Refused, match="Build it first"):
        Server(tmp_path, 0)


def test_a_taken_port_is_told(folder):
    """A port that another program has is refused, with what to do."""
    first = Server(folder, 0)
    with pytest.raises(Refused, match="Choose another one"):
        Server(folder, first.server_address[1])
    first.server_close()


def test_a_server_that_is_closed_answers_no_more(folder):
    """A connection that a browser keeps open is closed with the server, so that nobody sees what lay there before."""
    server = Server(folder, 0)
    thread = threading.Thread(target=server.serve_forever, args=(0.02,))
    thread.start()
    line = http.client.HTTPConnection("127.0.0.1", server.server_address[1], timeout=10)
    line.request("GET", "/book/")
    assert line.getresponse().read() == b"<p>"
    server.shutdown()
    server.server_close()
    thread.join(10)
    line.sock.settimeout(10)
    assert line.sock.recv(1) == b""  # the line was closed at the other end
    line.close()
