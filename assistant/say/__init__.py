"""Every word a person reads: amounts, times, echoes, cautions. Numbers come in as litres and datetimes and leave as speech."""
