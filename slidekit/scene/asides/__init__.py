"""What stands beside a picture besides its caption: tables and plots of measured values."""
