import { expect, it } from 'vitest';
import { evidencePlot } from '../../../../core/export/sheets/evidence-plot.ts';

it('a picture of numbers that differ in the last digit has axes about them', () => {
  const { text } = evidencePlot({
    title: 'Speed',
    x_label: 's',
    y_label: 'm/s',
    levels: [],
    series: [{ name: 'speed', kind: 'line', x: [0, 1], y: [9.4, 9.4 + 1.8e-15] }],
  });
  expect(text).toContain('>9<');
  expect(text).toContain('>10<');
  expect(text).not.toContain('NaN');
});
