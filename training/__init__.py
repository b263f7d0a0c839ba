"""Trains the phone model of the ear: synthesis, augmentation, training, export, evaluation."""
