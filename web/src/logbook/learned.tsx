// What the nights have taught: figures of this telescope and this place, and how far each control moves a reading.
import * as api from "../api";
import { use_load } from "../load";
import { name_of } from "../telescope/amount";
import type { LogResponse, LogTrend } from "../wire";
import { capital, with_error } from "../words";

// "tube_time_constant" as people write it.
function spoken(name: string): string {
  return capital(name.replace(/_fwhm$/, "").replace(/[_-]/g, " "));
}

// Which part of the nights a trend is of, when it is not of all.
function part_words({ solar_hour, wind_m_per_s }: LogTrend): string {
  if (solar_hour) return ` from ${solar_hour.map((hour) => hour % 24).join(" to ")} h by the Sun`;
  if (wind_m_per_s) return ` in wind of ${wind_m_per_s.join(" to ")} m/s`;
  return "";
}

function Trends({ trends }: { trends: readonly LogTrend[] }) {
  return (
    <table>
      <caption class="unseen">Figures learned over the nights</caption>
      <thead>
        <tr>
          <th>What</th>
          <th>Learned</th>
          <th>From</th>
        </tr>
      </thead>
      <tbody>
        {trends.map((trend) => (
          <tr key={trend.name + part_words(trend)}>
            <td>
              {spoken(trend.name)}
              {part_words(trend)}
            </td>
            <td class="number">
              {with_error(trend.value, trend.sigma)} {trend.unit}
            </td>
            <td class="number">
              {trend.count} in {trend.nights} {trend.nights === 1 ? "night" : "nights"}
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

const axes: Record<string, string> = { coma_x: "coma, to the right", coma_y: "coma, downwards", strength: "as much as computed" };

// A sense of turning that was learned, in words; others are amounts and stand in the table.
function sense_words({ control, reading, value }: LogResponse): string | undefined {
  const sure = ` (${Math.round(100 * Math.max(value, 1 - value))} % sure)`;
  if (reading === "counter_clockwise")
    return `On the camera's picture screws b and c follow a ${value > 0.5 ? "counter-clockwise" : "clockwise"}${sure}.`;
  if (control === "roll" && reading === "clockwise")
    return `Turned clockwise, the corrector's roll goes ${value > 0.5 ? "clockwise" : "counter-clockwise"} on the picture${sure}.`;
  return undefined;
}

function Senses({ responses }: { responses: readonly LogResponse[] }) {
  return (
    <>
      {responses
        .flatMap((one) => sense_words(one) ?? [])
        .map((words) => (
          <p key={words}>{words}</p>
        ))}
    </>
  );
}

// A covariance (of unit squared) is for the reckoning, not for the eye.
function is_amount(one: LogResponse): boolean {
  return !one.reading.endsWith("_xy") && sense_words(one) === undefined;
}

function Responses({ responses }: { responses: readonly LogResponse[] }) {
  return (
    <table>
      <caption class="unseen">How far a control moves a reading</caption>
      <thead>
        <tr>
          <th>Turning</th>
          <th>Moves</th>
          <th>By</th>
        </tr>
      </thead>
      <tbody>
        {responses.filter(is_amount).map(({ control, reading, value, sigma, unit, pairs }) => (
          <tr key={control + reading}>
            <td>{capital(name_of(control))}</td>
            <td>{capital(axes[reading] ?? spoken(reading))}</td>
            <td class="number">
              {with_error(value, sigma)} {unit}
              <span class="quiet"> from {pairs === 1 ? "one before and after" : `${pairs} befores and afters`}</span>
            </td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function Learned() {
  const loaded = use_load(api.trends, "trends", ["reading", "log"]);
  const trends = loaded.value?.trends ?? [];
  const responses = loaded.value?.responses ?? [];
  if (loaded.fault || !loaded.value) return null;
  return (
    <section class="stack">
      <h2>Learned</h2>
      {trends.length + responses.length === 0 && (
        <p>Nothing yet. Every clip before and after a turn teaches how that control answers.</p>
      )}
      {trends.length > 0 && <Trends trends={trends} />}
      {responses.length > 0 && <Responses responses={responses} />}
      <Senses responses={responses} />
    </section>
  );
}
