// The proof of an image: how fine, how that is known, what was done to it.
import { Chart } from "../parts/chart";
import { Figures, type NamedFigure } from "../parts/figures";
import type { ImageProof } from "../wire";
import { capital, figure, percent, with_error } from "../words";

export function Resolution({ proof }: { proof: ImageProof }) {
  const curve = proof.resolution.curve.filter(([frequency]) => (frequency ?? 0) > 0);
  return (
    <section class="stack">
      <h2>Where the two halves agree</h2>
      <Chart
        label={`Correlation of the two halves against fineness: they agree down to ${with_error(proof.resolution.arcsec, proof.resolution.sigma)} arcseconds`}
        x={curve.map(([frequency]) => frequency ?? 0)}
        x_label="cycles a pixel"
        y_label="correlation"
        y_range={[-0.1, 1.05]}
        curves={[
          { label: "correlation", values: curve.map(([, correlation]) => correlation ?? null) },
          { label: "threshold", values: curve.map(([, , threshold]) => threshold ?? null), dash: [4, 8] },
        ]}
      />
      <p class="quiet">Solid: how well they agree. Dashed: the least that counts. {proof.resolution.criterion}.</p>
    </section>
  );
}

export function Done({ proof }: { proof: ImageProof }) {
  const { air, planes, restoration } = proof;
  const figures: NamedFigure[] = [
    { name: "Frames used", value: `${proof.frames_used} of ${proof.frames_read}`, unit: `(${percent(proof.kept_fraction)})` },
    { name: "Trusted", value: percent(proof.trusted_share), unit: "of the scene" },
    { name: "Noise", value: percent(proof.noise), unit: "of the scene's brightness" },
    { name: "Air in the frames used, D/r₀", value: with_error(air.d_over_r0, air.sigma) },
    { name: "Scale", value: figure(proof.scale.arcsec_per_px, 4), unit: `″ a pixel (${proof.scale.source})` },
    { name: "Took", value: figure(proof.seconds.total, 2), unit: "s" },
  ];
  return (
    <section class="stack">
      <h2>What was done</h2>
      <Figures of={figures} />
      <p>
        {capital(restoration.method)} restoration, strength {figure(restoration.strength)}
        {restoration.iterations !== undefined && `, ${restoration.iterations} iterations`}; stopped by {restoration.stopped_by}.
      </p>
      <table>
        <thead>
          <tr>
            <th>Plane</th>
            <th class="number">Resolves</th>
            <th class="number">Was off by</th>
          </tr>
        </thead>
        <tbody>
          {planes.map((plane) => (
            <tr key={plane.name}>
              <td>{plane.name}</td>
              <td class="number">{with_error(plane.resolution.arcsec, plane.resolution.sigma)}″</td>
              <td class="number">
                {plane.offset_px ? `${figure(Math.hypot(plane.offset_px[0] ?? 0, plane.offset_px[1] ?? 0), 2)} px` : "–"}
              </td>
            </tr>
          ))}
        </tbody>
      </table>
      {proof.warnings.map((words) => (
        <p class="caution" key={words}>
          {words}
        </p>
      ))}
    </section>
  );
}
