"""An instructor's own folder: begun, looked over without a simulation, and packed."""
