// The ratio as the server judges it (MixRatio.cs), for the moment before the network has answered; a test holds the two together.
export function judge(system, aMg, bMg) {
  const targetBMg = Math.round(aMg * system.hardenerPerResin);
  if (!(aMg > 0 && bMg > 0)) return { known: false, targetBMg };
  const deviationPercent = 100 * (bMg / aMg / system.hardenerPerResin - 1);
  const inRatio = Math.abs(deviationPercent) <= system.tolerancePercent + 1e-9;
  const addMg = deviationPercent > 0 ? Math.ceil(bMg / system.hardenerPerResin - aMg - 1e-6) : Math.ceil(aMg * system.hardenerPerResin - bMg - 1e-6);
  return { known: true, targetBMg, deviationPercent, inRatio, addPart: deviationPercent > 0 ? 'A' : 'B', addMg, parts: system.parts * (1 + deviationPercent / 100) };
}

// A and B of a batch of that mass, on target.
export function split(system, totalMg) {
  const aMg = Math.round(totalMg / (1 + system.hardenerPerResin));
  return { aMg, bMg: totalMg - aMg };
}
