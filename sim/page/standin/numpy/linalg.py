"""The modes of small symmetric matrices."""

import math

from ._array import ndarray

SWEEPS = 30


def eigh(matrices):
    """Eigenvalues (..., n), the least first, and eigenvectors in columns (..., n, n).

    By Jacobi's rotations, of which each makes one number beside the diagonal zero (as in G. H.
    Golub and C. F. Van Loan, Matrix Computations, section 8.5, from memory). The sign of a vector
    is left to chance, as it is in numpy.
    """
    size = matrices.shape[-1]
    values, vectors = [], []
    for at in range(0, len(matrices.cells), size * size):
        cells = matrices.cells[at : at + size * size]
        found = _modes([cells[row : row + size] for row in range(0, size * size, size)])
        values += [value for value, _ in found]
        vectors += [vector[row] for row in range(size) for _, vector in found]
    return ndarray(values, matrices.shape[:-1]), ndarray(vectors, matrices.shape)


def _modes(matrix):
    """Pairs of an eigenvalue and its vector, the least value first. The matrix is used up."""
    size = len(matrix)
    turned = [[float(row == column) for column in range(size)] for row in range(size)]
    pairs = [(p, q) for p in range(size) for q in range(p + 1, size)]
    for _ in range(SWEEPS):
        scale = sum(abs(matrix[p][p]) for p in range(size))
        if all(abs(matrix[p][q]) <= 1e-300 + 1e-40 * scale for p, q in pairs):
            break
        for p, q in pairs:
            if matrix[p][q]:
                _rotate(matrix, turned, p, q)
    found = [(matrix[p][p], turned[p]) for p in range(size)]
    return sorted(found, key=lambda mode: mode[0])


def _rotate(matrix, turned, p, q):
    """Make the number at (p, q) zero; `turned` holds the vectors in its rows."""
    half = (matrix[q][q] - matrix[p][p]) / (2.0 * matrix[p][q])
    tangent = math.copysign(1.0, half) / (math.fabs(half) + math.hypot(half, 1.0))
    cosine = 1.0 / math.hypot(tangent, 1.0)
    sine = tangent * cosine
    for row in matrix:
        row[p], row[q] = cosine * row[p] - sine * row[q], sine * row[p] + cosine * row[q]
    for rows in (matrix, turned):
        first, second = rows[p], rows[q]
        rows[p] = [cosine * a - sine * b for a, b in zip(first, second, strict=True)]
        rows[q] = [sine * a + cosine * b for a, b in zip(first, second, strict=True)]
    matrix[p][q] = matrix[q][p] = 0.0
