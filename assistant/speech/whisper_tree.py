"""Weighs many texts against one sound at once: their tokens as a tree, in one pass of the decoder.

Texts of one grammar share their beginnings ("reading 40.0..."). Laid out as a tree, each shared
token is worked out once, the encoder's view of the sound is taken up once, and every token of
every text gets its exact probability given the sound and the tokens before it. A decoder that
takes the texts side by side does the shared part anew for each.

The network is Whisper's decoder (Radford et al. 2022, "Robust Speech Recognition via Large-Scale
Weak Supervision"): layer norm before each part, self attention, attention to the encoded sound,
a two-layer network with GELU; the output shares its weights with the token embedding.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from assistant.speech.whisper_weights import Weights

Floats = NDArray[np.float32]
Layers = tuple[tuple[Floats, Floats], ...]
"""Keys and values of each layer, shape (heads, length, width of a head)."""

_HEAD = 64  # numbers in one head, in every Whisper model
_FAR = np.float32(-1e9)


@dataclass(frozen=True)
class Opening:
    """What is worked out before any text is weighed: a sound and the tokens before every text.

    ``sound``: keys and values of the encoded sound; ``before``: of those tokens;
    ``first``: log probability of each token of the vocabulary as the first of a text.
    """

    sound: Layers
    before: Layers
    first: Floats


@dataclass(frozen=True)
class Look:
    """What a pass over a tree of texts found.

    ``rows``: log probabilities of the vocabulary at each node; ``places``: for each of ``texts``
    the row in which each of its tokens was foreseen.
    """

    rows: Floats
    places: tuple[tuple[int, ...], ...]
    texts: Sequence[Sequence[int]]

    @property
    def nats(self) -> list[float]:
        """Log probability of each text."""
        return [
            sum(float(self.rows[row, token]) for row, token in zip(places, text, strict=False))
            for places, text in zip(self.places, self.texts, strict=True)
        ]

    def instead(
        self, index: int, tokens: NDArray[np.int64], most: int = 1
    ) -> list[tuple[list[int], float]]:
        """Text ``index`` with one token replaced by one of the likeliest others of ``tokens``.

        For each of its tokens that is one of them; with the likelihood that the text would have
        if all else in it stayed as likely.
        """
        found = []
        text = self.texts[index]
        whole = self.nats[index]
        for at, (row, token) in enumerate(zip(self.places[index], text, strict=False)):
            if token in tokens:
                others = tokens[tokens != token]
                for best in others[np.argsort(-self.rows[row, others])[:most]]:
                    gain = float(self.rows[row, best] - self.rows[row, token])
                    found.append(([*text[:at], int(best), *text[at + 1 :]], whole + gain))
        return found


class TreeDecoder:
    """A Whisper decoder in plain arrays, with the weights that ``whisper_weights`` reads."""

    def __init__(self, weights: Weights) -> None:
        self._w = weights
        self._embedding = weights["embeddings/weight"]
        self._positions = weights["position_encodings/encodings"]
        self._layers = sum(name.endswith("ffn/linear_0/weight") for name in weights)
        self._heads = self._embedding.shape[1] // _HEAD

    def open(self, encoded: Floats, tokens: Sequence[int]) -> Opening:
        """Take up a sound (``encoded``: frames by width) and the ``tokens`` before every text."""
        sound = []
        for layer in range(self._layers):
            both = self._linear(f"layer_{layer}/attention/linear_1", encoded)
            keys, values = np.split(both, 2, axis=1)
            sound.append((self._split(keys), self._split(values)))
        none = np.zeros((self._heads, 0, _HEAD), np.float32)
        empty = Opening(tuple(sound), ((none, none),) * self._layers, np.zeros(0, np.float32))
        count = len(tokens)
        seen = np.tril(np.ones((count, count), bool))
        out, before = self._pass(empty, np.asarray(tokens), np.arange(count), seen)
        return Opening(tuple(sound), before, self._log_probabilities(out[-1:])[0])

    def weigh(self, opening: Opening, texts: Sequence[Sequence[int]]) -> list[float]:
        """Log probability of each of ``texts``, in nats; each ends where it ends.

        End a text with the end-of-text token to weigh it as a whole.
        """
        return self.look(opening, texts).nats

    def look(self, opening: Opening, texts: Sequence[Sequence[int]]) -> Look:
        """Weigh ``texts`` and keep what else was likely at each of their tokens."""
        tree = _Tree(texts)
        ahead = np.zeros((0, len(opening.first)), np.float32)
        if tree.tokens:
            positions = opening.before[0][0].shape[1] + np.asarray(tree.depths)
            out, _ = self._pass(opening, np.asarray(tree.tokens), positions, tree.ancestry())
            ahead = self._log_probabilities(out)
        rows = np.concatenate((opening.first[None, :], ahead))
        return Look(rows, tuple((0, *(n + 1 for n in path)) for path in tree.paths), texts)

    def _pass(
        self,
        opening: Opening,
        tokens: Any,
        positions: Any,
        seen: NDArray[np.bool_],
        seen_before: NDArray[np.bool_] | None = None,
    ) -> tuple[Floats, Layers]:
        """The last layer's output for ``tokens``, and their keys and values in each layer.

        ``seen``: which of the tokens each of them sees; ``seen_before``: which of those of the
        opening, where it is not all.
        """
        x = self._embedding[tokens] + self._positions[positions]
        kept: list[tuple[Floats, Floats]] = []
        if seen_before is None:
            seen_before = np.ones((len(x), opening.before[0][0].shape[1]), bool)
        mask = np.where(np.concatenate((seen_before, seen), axis=1), np.float32(0), _FAR)
        for layer in range(self._layers):
            name = f"layer_{layer}/self_attention"
            three = self._linear(f"{name}/linear_0", self._norm(f"{name}/layer_norm", x))
            query, key, value = map(self._split, np.split(three, 3, axis=1))
            kept.append((key, value))
            old_key, old_value = opening.before[layer]
            attended = _attend(
                query,
                np.concatenate((old_key, key), axis=1),
                np.concatenate((old_value, value), axis=1),
                mask,
            )
            x = x + self._linear(f"{name}/linear_1", attended)
            name = f"layer_{layer}/attention"
            query = self._split(
                self._linear(f"{name}/linear_0", self._norm(f"{name}/layer_norm", x))
            )
            x = x + self._linear(f"{name}/linear_2", _attend(query, *opening.sound[layer]))
            name = f"layer_{layer}/ffn"
            inner = self._linear(f"{name}/linear_0", self._norm(f"{name}/layer_norm", x))
            x = x + self._linear(f"{name}/linear_1", _gelu(inner))
        return self._norm("layer_norm", x), tuple(kept)

    def _log_probabilities(self, out: Floats) -> Floats:
        logits = out @ self._embedding.T
        logits -= logits.max(axis=1, keepdims=True)
        logits -= np.log(np.exp(logits).sum(axis=1, keepdims=True))
        return np.asarray(logits)

    def _linear(self, name: str, x: Floats) -> Floats:
        return np.asarray(x @ self._w[f"{name}/weight"].T + self._w[f"{name}/bias"])

    def _norm(self, name: str, x: Floats) -> Floats:
        middle = x - x.mean(axis=1, keepdims=True)
        spread = np.sqrt(np.mean(middle**2, axis=1, keepdims=True) + np.float32(1e-5))
        return np.asarray(middle / spread * self._w[f"{name}/gamma"] + self._w[f"{name}/beta"])

    def _split(self, x: Floats) -> Floats:
        """(length, width) as (heads, length, width of a head)."""
        return np.ascontiguousarray(x.reshape(len(x), self._heads, _HEAD).transpose(1, 0, 2))


class _Tree:
    """The tokens of several texts, each beginning once; the last token of a text needs no node.

    ``paths``: for each text the nodes of its tokens but the last.
    """

    def __init__(self, texts: Sequence[Sequence[int]]) -> None:
        self.tokens: list[int] = []
        self.depths: list[int] = []
        self.parents: list[int] = []
        known: dict[tuple[int, int], int] = {}
        self.paths: list[list[int]] = []
        for text in texts:
            at, path = -1, []
            for depth, token in enumerate(text[:-1]):
                if (at, token) not in known:
                    known[at, token] = len(self.tokens)
                    self.tokens.append(token)
                    self.depths.append(depth)
                    self.parents.append(at)
                at = known[at, token]
                path.append(at)
            self.paths.append(path)

    def ancestry(self) -> NDArray[np.bool_]:
        """Whether node (row) sees node (column): itself and those on its way from the root."""
        seen = np.eye(len(self.tokens), dtype=bool)
        for node, parent in enumerate(self.parents):
            if parent >= 0:
                seen[node] |= seen[parent]
        return seen


def _attend(query: Floats, keys: Floats, values: Floats, mask: Floats | None = None) -> Floats:
    scores = query @ keys.transpose(0, 2, 1) * np.float32(_HEAD**-0.5)
    if mask is not None:
        scores += mask
    scores -= scores.max(axis=2, keepdims=True)
    np.exp(scores, out=scores)
    scores /= scores.sum(axis=2, keepdims=True)
    mixed = np.asarray(scores @ values, np.float32).transpose(1, 0, 2)
    return np.ascontiguousarray(mixed).reshape(query.shape[1], -1)


def _gelu(x: Floats) -> Floats:
    """Gaussian error linear unit, by its usual approximation with tanh (Hendrycks 2016)."""
    inner = np.float32(0.7978845608) * (x + np.float32(0.044715) * (x * x * x))
    return np.asarray(np.float32(0.5) * x * (1 + np.tanh(inner)))
