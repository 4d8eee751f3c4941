import Qty from 'js-quantities';
import { describe, expect, it } from 'vitest';
import { KG_PER_CWT, KG_PER_LB, L_PER_US_BUSHEL, ML_PER_US_FL_OZ } from '#server/calc/units.ts';

const L_PER_CUBIC_INCH = 0.016_387_064;

describe('unit constants', () => {
  it('make a US bushel of 2150.42 cubic inches 35.23907016688 L (U1, NIST Handbook 44, Appendix C)', () => {
    expect(L_PER_US_BUSHEL).toBeCloseTo(2150.42 * L_PER_CUBIC_INCH, 11);
    expect(L_PER_US_BUSHEL).toBeCloseTo(Qty('1 bu').to('l').scalar, 3);
  });

  it('make a US fluid ounce a 128th of 231 cubic inches, 29.5735295625 mL (U2, NIST Handbook 44, Appendix C)', () => {
    expect(ML_PER_US_FL_OZ).toBeCloseTo(((231 * L_PER_CUBIC_INCH) / 128) * 1000, 10);
    expect(ML_PER_US_FL_OZ).toBeCloseTo(Qty('1 floz').to('ml').scalar, 4);
  });

  it('make 36.743710 bushels of 60 lb of 1000 kg soybean (U4; the USDA export factor is 36.7437)', () => {
    expect(1000 / (60 * KG_PER_LB)).toBeCloseTo(36.743_71, 6);
  });

  it('make 2188 seeds a pound of 100 seeds that weigh 0.0457 lb (U5, Divide Co. ND Extension)', () => {
    expect(Math.abs(100 / 0.0457 - 2188)).toBeLessThan(0.5);
  });

  it('make the count in 20 g times 22.68 the seeds a pound (U6, Univ. of Kentucky)', () => {
    expect(Math.abs((KG_PER_LB * 1000) / 20 - 22.68)).toBeLessThan(0.005);
  });

  it('make a hundredweight 100 lb, not 112, against js-quantities', () => {
    expect(KG_PER_LB).toBeCloseTo(Qty('1 lb').to('kg').scalar, 8);
    expect(KG_PER_CWT).toBeCloseTo(100 * KG_PER_LB, 12);
  });
});
