"""Trains the phone model on clip files with connectionist temporal classification.

Runs until its steps are done, or its time is nearly up: the learning rate then falls to nothing
in what time is left, so that a slower machine still ends with a finished model.
"""

from __future__ import annotations

import argparse
import math
import time
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import numpy as np
import torch
from torch import Tensor
from torch.nn import functional

from training.augment import Augmenter
from training.bank import Bank, Plan, lay, plan
from training.export import arrays_of
from training.features import log_mel
from training.model import PhoneModel, as_arrays, grown_from, restored
from training.phones import BLANK, CLASSES
from training.weights import unpack

SHARES: Mapping[str, float] = {
    "made": 0.30, "neural": 0.51, "commands": 0.07, "wake": 0.05, "digits": 0.07,
}  # fmt: skip
"""How often a clip comes from each source."""
WINDOWS_S = ((7.68, 112), (7.68, 112), (3.84, 224), (2.56, 336), (12.8, 64))
"""Lengths of the windows in seconds, each with how many go into a step."""


def loss_of(model: PhoneModel, mel: Tensor, drawn: Plan, smooth: float) -> tuple[Tensor, Tensor]:
    """CTC loss a phone, and the distance of the model's opinion from knowing nothing.

    The second, with a small weight, keeps the model from being sure beyond reason.
    """
    device = mel.device
    with torch.autocast(device.type, torch.bfloat16, enabled=device.type == "cuda"):
        scores = model(mel)
    likely = scores.float().log_softmax(2)
    # Counts stay on the processor: on the device each step would wait for them to come back.
    counts = torch.tensor([len(t) for t in drawn.targets])
    phones = torch.from_numpy(np.concatenate(drawn.targets).astype(np.int64)).to(device)
    frames = torch.full((len(mel),), likely.shape[1])
    ctc = functional.ctc_loss(
        likely.transpose(0, 1), phones, frames, counts, BLANK, "none", zero_infinity=True
    )
    even = -likely.mean() - math.log(CLASSES)
    return ctc.sum() / counts.sum(), even


class Training:
    """One training run: its model, its optimiser, and an average of its last models."""

    def __init__(self, model: PhoneModel, bank: Bank, seed: int, windows: float) -> None:
        self.device = bank.device
        self.model = model.to(self.device)
        self.mean = {name: v.clone() for name, v in self.model.state_dict().items()}
        self._bank = bank
        self._scale = windows
        self._seed = seed
        self._augment = Augmenter(bank, seed)
        head = [p for n, p in self.model.named_parameters() if n.startswith("head.")]
        rest = [p for n, p in self.model.named_parameters() if not n.startswith("head.")]
        self.optimiser = torch.optim.AdamW(
            [{"params": rest, "lr": 0.0}, {"params": head, "lr": 0.0}],
            betas=(0.9, 0.98), weight_decay=0.01, fused=self.device.type == "cuda",
        )  # fmt: skip

    def draw(self, step: int) -> Plan:
        """The windows of one step."""
        rng = np.random.default_rng([self._seed, step])
        seconds, windows = WINDOWS_S[int(rng.integers(len(WINDOWS_S)))]
        count = max(2, round(windows * self._scale))
        return plan(self._bank, SHARES, count, int(seconds * 16_000), rng)

    def step(self, drawn: Plan, rates: tuple[float, float], smooth: float) -> Tensor:
        """One step; its loss a phone and its distance from knowing nothing, left on the device."""
        with torch.no_grad():
            mel = self._augment.mask(log_mel(self._augment(lay(self._bank, drawn))))
        for group, rate in zip(self.optimiser.param_groups, rates, strict=True):
            group["lr"] = rate
        loss, even = loss_of(self.model, mel, drawn, smooth)
        self.optimiser.zero_grad(set_to_none=True)
        (loss + smooth * even).backward()
        torch.nn.utils.clip_grad_norm_(self.model.parameters(), 1.0)
        self.optimiser.step()
        return torch.stack([loss.detach(), even.detach()])

    def remember(self, weight: float) -> None:
        """Move the average of the models by ``weight`` towards the present one."""
        with torch.no_grad():
            for name, value in self.model.state_dict().items():
                self.mean[name].lerp_(value, weight)

    def averaged(self) -> PhoneModel:
        """The average of the last models."""
        return restored({name: v.float().cpu().numpy() for name, v in self.mean.items()})


def main() -> None:
    """Trains a model and writes its variables."""
    parser = argparse.ArgumentParser(description=main.__doc__)
    parser.add_argument("clips", type=Path, help="folder of clip files; more may come in meanwhile")
    parser.add_argument("out", type=Path, help="the model's variables (.npz)")
    parser.add_argument("--grow", type=Path, help="a packed encoder to begin with")
    parser.add_argument("--resume", type=Path, help="a model written or exported before")
    parser.add_argument("--steps", type=int, default=5500)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--rate", type=float, default=6e-5, help="of the encoder")
    parser.add_argument("--head-rate", type=float, default=2e-3)
    parser.add_argument("--smooth", type=float, default=0.02)
    parser.add_argument("--hours", type=float, default=60.0, help="sound that there is room for")
    parser.add_argument("--windows", type=float, default=1.0, help="times the usual windows a step")
    parser.add_argument("--device", default="cuda" if torch.cuda.is_available() else "cpu")
    parser.add_argument("--seed", type=int, default=1)
    given = parser.parse_args()
    torch.manual_seed(given.seed)
    bank = Bank(torch.device(given.device), given.hours * 3600)
    clips = bank.take_in(given.clips)
    print(f"{clips} clips, {bank.end / 16_000 / 3600:.1f} h", flush=True)
    if given.resume is None:
        model = grown_from(unpack(given.grow))
    elif given.resume.suffix == ".onnx":
        model = restored(arrays_of(given.resume))
    else:
        model = restored(dict(np.load(given.resume)))
    run = Training(model, bank, given.seed, given.windows)
    began = time.monotonic()
    seen: list[Tensor] = []
    with ThreadPoolExecutor(1) as ahead:
        coming = ahead.submit(run.draw, 0)
        done = 0.0
        step = 0
        while done < 1.0:
            if step and step % 200 == 0:
                coming.result()
                bank.take_in(given.clips)
            drawn = coming.result()
            coming = ahead.submit(run.draw, step + 1)
            done = max(step / given.steps, (time.monotonic() - began) / (60 * given.minutes))
            fall = min(1.0, (step + 1) / 200) * (0.5 + 0.5 * math.cos(math.pi * min(1.0, done)))
            seen.append(run.step(drawn, (given.rate * fall, given.head_rate * fall), given.smooth))
            run.remember(max(0.002, 1 / (step + 1)))
            step += 1
            if step % 100 == 0 or step < 3:
                loss, even = torch.stack(seen[-100:]).mean(0).tolist()
                spent = time.monotonic() - began
                print(
                    f"step {step} loss {loss:.4f} even {even:.2f} rate {given.rate * fall:.1e}"
                    f" {spent:.0f} s {len(bank.length)} clips",
                    flush=True,
                )
                if step % 500 == 0:
                    _save(run, given.out)
    _save(run, given.out)


def _save(run: Training, out: Path) -> None:
    aside = out.with_name("." + out.name)
    arrays: dict[str, Any] = {**as_arrays(run.averaged())}  # numpy has options beside them
    np.savez(aside, **arrays)
    aside.replace(out)


if __name__ == "__main__":
    main()
