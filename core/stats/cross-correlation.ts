import FFT from 'fft.js';

/**
 * Sums of products of two columns at every shift of one against the other: `c[k] = Σᵢ a[i]·b[i + k − (n − 1)]`, n the length
 * of `a`, what lies outside a column counting as 0; `k` from 0 to the sum of both lengths less 2. By the convolution
 * theorem in O(N log N), exact to rounding of the largest sum; columns must be free of NaN. Empty when either is.
 */
export function crossCorrelation(a: Float64Array, b: Float64Array): Float64Array {
  if (a.length === 0 || b.length === 0) return new Float64Array();
  const length = a.length + b.length - 1;
  const size = 2 ** Math.max(1, Math.ceil(Math.log2(length)));
  const fft = new FFT(size);
  const reversed = spectrumOf(fft, size, a.slice().reverse());
  const other = spectrumOf(fft, size, b);
  for (let k = 0; k < 2 * size; k += 2) {
    const real = reversed[k] * other[k] - reversed[k + 1] * other[k + 1];
    reversed[k + 1] = reversed[k] * other[k + 1] + reversed[k + 1] * other[k];
    reversed[k] = real;
  }
  fft.inverseTransform(other, reversed);
  return Float64Array.from({ length }, (_, k) => other[2 * k]);
}

function spectrumOf(fft: FFT, size: number, column: Float64Array): number[] {
  const padded = new Array<number>(size).fill(0);
  for (let i = 0; i < column.length; i++) padded[i] = column[i];
  const spectrum: number[] = fft.createComplexArray();
  fft.realTransform(spectrum, padded);
  fft.completeSpectrum(spectrum);
  return spectrum;
}
