"""The sentences in English, one table for each module of kinds."""
