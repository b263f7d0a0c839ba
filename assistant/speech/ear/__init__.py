"""Our own recogniser: phone posteriors by a small network, decoded under the state's grammar."""
