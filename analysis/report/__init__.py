"""What is said about readings: figures, sentences, graph, report."""
