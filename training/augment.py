"""Rooms, microphones and workshop noise, made on the training device from its random numbers."""

from __future__ import annotations

import math

import torch
from torch import Tensor

from training.bank import Bank

RATE = 16_000
_TAIL = 8192  # samples of a room's answer
_KINDS = (0.13, 0.38, 0.51, 0.64, 0.94)
"""Where steady noise, tones, clicks, voices, and voices with steady noise begin among the windows;
those before the first have the faint noise only."""


class Augmenter:
    """Turns clean windows into what a microphone in a workshop gives."""

    def __init__(self, bank: Bank, seed: int) -> None:
        self._bank = bank
        self._device = bank.device
        self._dice = torch.Generator(device=self._device).manual_seed(seed)

    def __call__(self, speech: Tensor) -> Tensor:
        """Speech of about unit power (windows, samples) -> the same shape, of about unit power."""
        windows, samples = speech.shape
        size = samples + _TAIL
        hertz = torch.fft.rfftfreq(size, 1 / RATE, device=self._device)
        far = torch.fft.rfft(self._rooms(windows), size)
        far *= self._microphone(windows, hertz)
        heard = torch.fft.irfft(torch.fft.rfft(speech, size) * far, size)[:, :samples]
        heard = heard + self._noise(windows, samples, hertz)
        heard = self._telephone(heard)
        clipped = self._chance(windows, 0.06)
        limit = self._even(windows, 0.5, 2.5)
        heard = torch.where(clipped, heard.clamp(-limit, limit), heard)
        return heard * 0.05

    def mask(self, mel: Tensor) -> Tensor:
        """Hide some bands and a few moments (SpecAugment, Park et al. 2019), gently."""
        windows, bands, frames = mel.shape
        low = mel.amin((1, 2), keepdim=True)
        band = torch.arange(bands, device=self._device)[None]
        time = torch.arange(frames, device=self._device)[None]
        for _ in range(2):
            at, wide = self._even(windows, 0, bands), self._even(windows, 0, 10)
            hidden = (band >= at) & (band < at + wide) & self._chance(windows, 0.4)
            mel = torch.where(hidden[:, :, None], low, mel)
            # Never a whole phone: the N of "sixteen" hidden would teach the model to guess.
            at, wide = self._even(windows, 0, frames), self._even(windows, 0, 4)
            hidden = (time >= at) & (time < at + wide) & self._chance(windows, 0.4)
            mel = torch.where(hidden[:, None, :], low, mel)
        return mel

    # Randomness ------------------------------------------------------------------------------

    def _even(self, windows: int, low: float, high: float) -> Tensor:
        drawn = torch.rand(windows, 1, device=self._device, generator=self._dice)
        return low + (high - low) * drawn

    def _chance(self, windows: int, share: float) -> Tensor:
        return torch.rand(windows, 1, device=self._device, generator=self._dice) < share

    def _normal(self, *shape: int) -> Tensor:
        return torch.randn(*shape, device=self._device, generator=self._dice)

    # Rooms and microphones -------------------------------------------------------------------

    def _rooms(self, windows: int) -> Tensor:
        """Direct sound, a few early reflections, and noise that dies away by 60 dB in RT60."""
        time = torch.arange(_TAIL, device=self._device)[None] / RATE
        decay = self._even(windows, math.log(0.08), math.log(0.8)).exp()
        tail = self._normal(windows, _TAIL) * 10 ** (-3 * time / decay)
        tail = tail * (time > self._even(windows, 0.002, 0.02))
        tail = tail / tail.square().sum(1, keepdim=True).sqrt().clamp(min=1e-6)
        early = torch.zeros(windows, _TAIL, device=self._device)
        for _ in range(4):
            at = self._even(windows, 0.0008, 0.03) * RATE
            early.scatter_add_(1, at.long(), self._even(windows, -0.5, 0.5))
        ratio = 10 ** (-self._even(windows, -2, 16) / 20)
        answer = (early * self._even(windows, 0, 1) + tail * ratio) * self._chance(windows, 0.65)
        answer[:, 0] += 1
        return answer / answer.square().sum(1, keepdim=True).sqrt()

    def _microphone(self, windows: int, hertz: Tensor) -> Tensor:
        """A gain over frequency: tilt, a bump or dip, and a low end that begins somewhere."""
        octave = torch.log2(hertz.clamp(min=50) / 1000)[None]
        gain = octave * self._even(windows, -3, 3) * self._chance(windows, 0.6)
        for _ in range(2):
            centre, wide = self._even(windows, -3, 3), self._even(windows, 0.2, 1.2)
            gain = gain + self._even(windows, -8, 8) * torch.exp(-(((octave - centre) / wide) ** 2))
        low = self._even(windows, 20, 250)
        return 10 ** (gain.clamp(-25, 25) / 20) * (hertz / (hertz + low))

    def _telephone(self, heard: Tensor) -> Tensor:
        """A fifth of the windows: nothing above about 3.4 to 4 kHz, some nothing below 300 Hz."""
        windows, samples = heard.shape
        hertz = torch.fft.rfftfreq(samples, 1 / RATE, device=self._device)
        top, low = self._even(windows, 3300, 4100), self._even(windows, 0, 350)
        keep = torch.sigmoid((top - hertz) / 60) * torch.sigmoid((hertz - low) / 30)
        narrow = torch.fft.irfft(torch.fft.rfft(heard) * keep, samples)
        return torch.where(self._chance(windows, 0.2), narrow, heard)

    # Noise -----------------------------------------------------------------------------------

    def _noise(self, windows: int, samples: int, hertz: Tensor) -> Tensor:
        """One main noise for most windows, over the faint noise that every microphone has."""
        # The windows are in no order, so the kinds can be dealt in order: no waiting for a draw.
        edges = [round(windows * share) for share in _KINDS]
        steady, tones, clicks, voices, both = (
            slice(one, other) for one, other in zip(edges, [*edges[1:], windows], strict=True)
        )
        noise = self._shaped(windows, samples, hertz) * self._swell(windows, samples)
        for part, make in ((tones, self._tones), (clicks, self._clicks), (voices, self._voices)):
            count = len(range(*part.indices(windows)))
            if count:
                noise[part] = _unit(make(count, samples)) + 0.3 * noise[part]
        count = len(range(*both.indices(windows)))
        if count:
            noise[both] = _unit(noise[both]) + _unit(self._voices(count, samples))
        db = self._even(windows, -1, 25)
        gain = 10 ** (-db / 20)
        gain[: steady.start] = 0
        floor = self._shaped(windows, samples, hertz) * 10 ** (-self._even(windows, 30, 65) / 20)
        return _unit(noise) * gain + floor

    def _shaped(self, windows: int, samples: int, hertz: Tensor) -> Tensor:
        size = 2 * (len(hertz) - 1)
        fall = self._even(windows, 0, 1.4)
        shape = (hertz.clamp(min=60) / 60)[None] ** -fall
        octave = torch.log2(hertz.clamp(min=50) / 1000)[None]
        centre, wide = self._even(windows, -3, 3), self._even(windows, 0.1, 0.8)
        bump = self._even(windows, 0, 20) * torch.exp(-(((octave - centre) / wide) ** 2))
        shape = shape * 10 ** (bump / 20)
        spectrum = torch.fft.rfft(self._normal(windows, size)) * shape
        return _unit(torch.fft.irfft(spectrum, size)[:, :samples])

    def _swell(self, windows: int, samples: int) -> Tensor:
        """Steady half of the time, else coming and going."""
        points = self._normal(windows, 1, 24) * 6 * self._chance(windows, 0.5)[:, :, None]
        curve = torch.nn.functional.interpolate(points, samples, mode="linear")[:, 0]
        return 10 ** (curve.clamp(-18, 12) / 20)

    def _tones(self, windows: int, samples: int) -> Tensor:
        """Hum, whine or chords: three stacks of harmonics whose pitch wanders a little."""
        time = torch.arange(samples, device=self._device)[None] / RATE
        sound = torch.zeros(windows, samples, device=self._device)
        for _ in range(3):
            pitch = self._even(windows, math.log(40), math.log(420)).exp()
            wander = 1 + 0.02 * torch.sin(6.28 * self._even(windows, 0.1, 2) * time)
            phase = 6.2832 * pitch * torch.cumsum(wander, 1) / RATE
            fall, loud = self._even(windows, 0.4, 1.6), self._even(windows, 0, 1) ** 2
            for harmonic in range(1, 17):
                inside = pitch * harmonic < 7500
                tone = torch.sin(harmonic * phase + self._even(windows, 0, 6.28))
                sound += loud * inside * tone * harmonic**-fall
        beat = 1 + self._even(windows, 0, 0.9) * torch.sin(
            6.28 * self._even(windows, 0.3, 6) * time
        )
        return sound * beat + 0.05 * self._normal(windows, samples)

    def _clicks(self, windows: int, samples: int) -> Tensor:
        """Ratchets, hammers, taps: bursts of strikes that ring out."""
        time = torch.arange(samples, device=self._device)[None] / RATE
        rate = self._even(windows, math.log(1.5), math.log(16)).exp()
        phase = (time * rate + self._even(windows, 0, 1)).floor()
        strike = (phase.diff(dim=1, prepend=phase[:, :1]) > 0).float()
        strike = strike * (0.6 + 0.4 * self._normal(windows, samples))
        burst = torch.sin(
            6.28 * self._even(windows, 0.15, 0.9) * time + self._even(windows, 0, 6.28)
        )
        strike = strike * (burst > self._even(windows, -1, 0.6))
        short = torch.arange(2048, device=self._device)[None] / RATE
        ring = torch.zeros(windows, 2048, device=self._device)
        fade = torch.exp(-short / self._even(windows, 0.001, 0.02))
        for _ in range(4):
            tone = torch.sin(6.28 * self._even(windows, 300, 6800) * short)
            ring += tone * fade * self._even(windows, 0, 1)
        ring += self._normal(windows, 2048) * torch.exp(-short / 0.002)
        size = samples + 2048
        both = torch.fft.rfft(strike, size) * torch.fft.rfft(ring, size)
        rung: Tensor = torch.fft.irfft(both, size)[:, :samples] + 1e-4
        return rung

    def _voices(self, windows: int, samples: int) -> Tensor:
        """Two to six other voices at once, any stretch of the bank each."""
        bank = self._bank
        sound = torch.zeros(windows, samples, device=self._device)
        index = torch.arange(samples, device=self._device)[None]
        for voice in range(6):
            top = max(1, bank.end - samples - (1 << 14))
            start = (self._even(windows, 0, 1) * top).long() + (1 << 14)
            cut = bank.sound[(start + index).clamp(max=len(bank.sound) - 1)].float()
            there = self._chance(windows, 1.0 if voice < 2 else 0.6)
            sound += _unit(cut) * there * self._even(windows, 0.5, 1)
        return sound


def _unit(sound: Tensor) -> Tensor:
    """With a power of one."""
    return sound / sound.square().mean(1, keepdim=True).sqrt().clamp(min=1e-6)
