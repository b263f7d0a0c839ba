"""A release: what is in its files, that two builds are the same, and whose signature holds."""

from __future__ import annotations

import os
import subprocess
import sys
import tarfile
import zipfile
from pathlib import Path
from shutil import which

import pytest

ROOT = Path(__file__).parents[1]
VERSION = "9.8.7"
CARRIED = ("grammars", "procedures", "audio_fixtures")

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(not (ROOT / ".git").exists(), reason="a release is made from a clone"),
    pytest.mark.skipif(which("ssh-keygen") is None, reason="ssh-keygen is not installed"),
]


def call(*command: str, cwd: Path, env: dict[str, str]) -> subprocess.CompletedProcess[str]:
    return subprocess.run(command, cwd=cwd, env=env, capture_output=True, text=True, check=False)


def git(tree: Path, env: dict[str, str], *arguments: str) -> str:
    done = call("git", *arguments, cwd=tree, env=env)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="module")
def env(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    settings = tmp_path_factory.mktemp("git") / "config"
    # A clone may belong to another user than the one who tests (a container).
    settings.write_text('[safe]\ndirectory = *\n[user]\nname = "T"\nemail = "t@example.invalid"\n')
    return {**os.environ, "GIT_CONFIG_GLOBAL": str(settings), "PYTHON": sys.executable}


@pytest.fixture(scope="module")
def tree(tmp_path_factory: pytest.TempPathFactory, env: dict[str, str]) -> Path:
    """A shallow clone without tags, and a key called ``key`` beside it."""
    folder = tmp_path_factory.mktemp("release")
    git(folder, env, "clone", "-q", "--depth", "1", "--no-tags", ROOT.as_uri(), "tree")
    for name in ("key", "other"):
        call("ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-f", name, cwd=folder, env=env)
    return folder / "tree"


def release(tree: Path, env: dict[str, str], key: str = "key") -> subprocess.CompletedProcess[str]:
    script = str(tree / "scripts" / "release.sh")
    return call(
        "bash", script, str(tree.parent / key), str(tree.parent / "out"), "--no-trial",
        cwd=tree.parent, env=env,
    )  # fmt: skip


@pytest.fixture(scope="module")
def keyed(tree: Path, env: dict[str, str]) -> Path:
    """The clone with a key of who may release."""
    key = (tree.parent / "key.pub").read_text(encoding="utf-8")
    with (tree / "scripts" / "release_signers").open("a", encoding="utf-8") as signers:
        signers.write(f'tester namespaces="assembly-assistant" {key}')
    git(tree, env, "commit", "-qam", "A key")
    return tree


@pytest.fixture(scope="module")
def tagged(keyed: Path, env: dict[str, str]) -> Path:
    """The clone prepared as CONTRIBUTING.md says."""
    changes = keyed / "CHANGELOG.md"
    text = changes.read_text(encoding="utf-8")
    changes.write_text(text.replace("\n## ", f"\n## {VERSION} - 2026-01-05\n\n## ", 1), "utf-8")
    git(keyed, env, "commit", "-qam", "A release")
    git(keyed, env, "tag", "-a", f"v{VERSION}", "-m", VERSION)
    return keyed


@pytest.fixture(scope="module")
def released(tagged: Path, env: dict[str, str]) -> Path:
    """The folder of a release; the script compares two builds."""
    done = release(tagged, env)
    assert done.returncode == 0, done.stdout + done.stderr
    return tagged.parent / "out"


def test_without_a_key_of_anybody_there_is_no_release(tree: Path, env: dict[str, str]) -> None:
    signers = tree / "scripts" / "release_signers"
    kept = signers.read_text(encoding="utf-8")
    signers.write_text("# Who may sign releases\n\n", encoding="utf-8")
    refused = release(tree, env)
    signers.write_text(kept, encoding="utf-8")
    assert refused.returncode == 2
    (sentence,) = refused.stderr.splitlines()
    assert "release_signers names no key yet" in sentence
    assert "CONTRIBUTING.md" in sentence


def test_a_shallow_clone_without_tags_has_a_version_and_is_no_release(
    keyed: Path, env: dict[str, str]
) -> None:
    version = call(sys.executable, "-m", "hatchling", "version", cwd=keyed, env=env)
    assert version.stdout.startswith("0.1.0.dev"), version.stderr
    refused = release(keyed, env)
    assert refused.returncode == 2
    assert "Tag this commit first" in refused.stderr


def test_a_tree_without_git_builds(tree: Path, tmp_path: Path, env: dict[str, str]) -> None:
    files = ["pyproject.toml", "README.md", "LICENSE"]
    for name in files:
        (tmp_path / name).write_bytes((tree / name).read_bytes())
    version = call(sys.executable, "-m", "hatchling", "version", cwd=tmp_path, env=env)
    assert version.stdout.strip() == "0.1.0.dev0", version.stderr


def test_an_unknown_signer_and_an_unclean_clone_are_refused(
    tagged: Path, env: dict[str, str]
) -> None:
    stranger = release(tagged, env, "other")
    assert stranger.returncode == 2
    assert "release_signers" in stranger.stderr
    extra = tagged / "left_over.txt"
    extra.write_text("x", encoding="utf-8")
    unclean = release(tagged, env)
    extra.unlink()
    assert unclean.returncode == 2
    assert "git status" in unclean.stderr
    assert not (tagged.parent / "out").exists()


def test_the_files_hold_what_git_holds_and_nothing_else(
    released: Path, tagged: Path, env: dict[str, str]
) -> None:
    kept = git(tagged, env, "ls-files", "-z").rstrip("\0").split("\0")
    wheel = zipfile.ZipFile(released / f"assembly_assistant-{VERSION}-py3-none-any.whl")
    carried = {
        f"assistant/_data/{name}" if name.split("/")[0] in CARRIED else name
        for name in kept
        if name.split("/")[0] in (*CARRIED, "assistant")
    }
    about = f"assembly_assistant-{VERSION}.dist-info"
    papers = ("METADATA", "WHEEL", "RECORD", "entry_points.txt", "licenses/LICENSE")
    assert set(wheel.namelist()) == carried | {f"{about}/{paper}" for paper in papers}
    with tarfile.open(released / f"assembly_assistant-{VERSION}.tar.gz") as sdist:
        names = {member.name.split("/", 1)[1] for member in sdist.getmembers()}
    assert names == {*kept, "PKG-INFO"}


def test_the_signature_holds_for_these_checksums_only(
    released: Path, tagged: Path, env: dict[str, str], tmp_path: Path
) -> None:
    sums = call("sha256sum", "--check", "SHA256SUMS", cwd=released, env=env)
    assert sums.stdout.count(": OK") == 2, sums.stdout + sums.stderr

    def holds(content: bytes) -> bool:
        asked = ["ssh-keygen", "-Y", "verify", "-f", str(tagged / "scripts" / "release_signers")]
        asked += ["-I", "tester", "-n", "assembly-assistant", "-s", "SHA256SUMS.sig"]
        return subprocess.run(asked, cwd=released, input=content, check=False).returncode == 0

    content = (released / "SHA256SUMS").read_bytes()
    assert holds(content)
    assert not holds(content.replace(b"assembly", b"assembIy", 1))
