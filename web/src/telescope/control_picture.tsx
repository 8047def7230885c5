// A picture of the control with the turn drawn on it, big enough for arm's length.
import { in_words, name_of, type Amount } from "./amount";

const size = 240;
const centre = size / 2;

// A point on a circle, clockwise from up, in turns.
function on_circle(radius: number, turn: number): [number, number] {
  const angle = 2 * Math.PI * turn;
  return [centre + radius * Math.sin(angle), centre - radius * Math.cos(angle)];
}

// An arrow round the centre, from up, as far as the turn goes; at least so far that it can be seen, at most all round.
function Turn({ turn, radius, from = 0, tip_size = 15 }: { turn: number; radius: number; from?: number; tip_size?: number }) {
  if (turn === 0) return null;
  const shown = Math.sign(turn) * Math.min(0.94, Math.max(0.06, Math.abs(turn)));
  const [x0, y0] = on_circle(radius, from);
  const [x1, y1] = on_circle(radius, from + shown);
  const sweep = turn > 0 ? 1 : 0;
  const tip = from + shown;
  const long = tip_size / (2 * Math.PI * radius); // of the arrow's tip, in turns
  const [ax, ay] = on_circle(radius - tip_size, tip - Math.sign(turn) * long);
  const [bx, by] = on_circle(radius + tip_size, tip - Math.sign(turn) * long);
  const [cx, cy] = on_circle(radius, tip + Math.sign(turn) * long);
  return (
    <g>
      <path
        class="thick"
        style={{ strokeWidth: 0.6 * tip_size }}
        d={`M${x0} ${y0}A${radius} ${radius} 0 ${Math.abs(shown) > 0.5 ? 1 : 0} ${sweep} ${x1} ${y1}`}
      />
      <path class="solid" d={`M${ax} ${ay}L${cx} ${cy}L${bx} ${by}Z`} />
    </g>
  );
}

function Knob({ turn }: { turn: number }) {
  const ridges = Array.from({ length: 32 }, (_, i) => i / 32);
  return (
    <g>
      {ridges.map((at) => {
        const [x0, y0] = on_circle(68, at);
        const [x1, y1] = on_circle(78, at);
        return <path key={at} class="line" d={`M${x0} ${y0}L${x1} ${y1}`} />;
      })}
      <circle class="body" cx={centre} cy={centre} r={68} />
      <path class="mark" d={`M${centre} ${centre - 30}V${centre - 66}`} />
      <Turn turn={turn} radius={98} />
      {Math.abs(turn) >= 1 && (
        <text class="middle" x={centre} y={centre + 24} style={{ fontSize: "34px" }}>
          {Math.abs(turn).toFixed(1)}×
        </text>
      )}
    </g>
  );
}

// The three screws: where a stands and which way b and c follow it. On the camera's picture each stands on the side to
// which a clockwise turn of it throws the flare; from in front of the telescope a is at the top.
export interface ScrewView {
  first: number; // of screw a, in turns clockwise from up
  follows: 1 | -1; // b after a: clockwise, counter-clockwise
}

const from_in_front: ScrewView = { first: 0, follows: 1 };

function Screws({ control, turn, view }: Amount & { turn: number; view: ScrewView }) {
  return (
    <g>
      <circle class="body" cx={centre} cy={centre} r={108} />
      {["screw-a", "screw-b", "screw-c"].map((name, i) => {
        const [x, y] = on_circle(62, view.first + (view.follows * i) / 3);
        const it = name === control;
        return (
          <g key={name} transform={`translate(${x - centre} ${y - centre})`}>
            <circle class={it ? "solid" : "soft"} cx={centre} cy={centre} r={20} />
            <text class={"middle" + (it ? " on-strong" : "")} x={centre} y={centre + 8} style={{ fontSize: "24px" }}>
              {name.slice(-1)}
            </text>
            {it && <Turn turn={turn} radius={38} tip_size={12} />}
          </g>
        );
      })}
    </g>
  );
}

// Two levers from the middle: they part when the marks grow, and close when they fall.
function Levers({ marks }: { marks: number }) {
  const now = 0.08;
  const then = now + Math.sign(marks) * Math.min(0.11, Math.max(0.07, Math.abs(marks) / 60));
  const lever = (turn: number, style: string) => {
    const [x0, y0] = on_circle(26, turn);
    const [x1, y1] = on_circle(96, turn);
    return <path class={style} style={{ strokeWidth: style === "mark" ? 9 : 3 }} d={`M${x0} ${y0}L${x1} ${y1}`} />;
  };
  return (
    <g>
      <circle class="body" cx={centre} cy={centre} r={58} />
      {Array.from({ length: 21 }, (_, i) => {
        const turn = (i - 10) / 40;
        const [x0, y0] = on_circle(60, turn);
        const [x1, y1] = on_circle(i % 5 === 0 ? 74 : 68, turn);
        return <path key={i} class="line" d={`M${x0} ${y0}L${x1} ${y1}`} />;
      })}
      {lever(now, "dotted")}
      {lever(-now, "dotted")}
      {lever(then, "mark")}
      {lever(-then, "mark")}
      <Turn turn={then - now} radius={108} from={now} tip_size={11} />
      <Turn turn={now - then} radius={108} from={-now} tip_size={11} />
    </g>
  );
}

function Roll({ degrees }: { degrees: number }) {
  return (
    <g>
      <circle class="body" cx={centre} cy={centre} r={72} />
      <path class="mark" d={`M${centre - 60} ${centre}H${centre + 60}`} />
      <circle class="solid" cx={centre} cy={centre - 56} r={8} />
      <Turn turn={degrees / 360} radius={96} />
    </g>
  );
}

// A key held down, or a length that grows: an arrow to the side that it goes to.
function Arrow({ x, y }: { x: number; y: number }) {
  const turn = Math.atan2(x, -y) * (180 / Math.PI);
  return (
    <g>
      <circle class="body" cx={centre} cy={centre} r={104} />
      <path
        class="solid"
        transform={`rotate(${turn} ${centre} ${centre})`}
        d={`M${centre} ${centre - 84}l46 62h-26v84h-40v-84h-26Z`}
      />
    </g>
  );
}

function Wait() {
  return (
    <g>
      <circle class="body" cx={centre} cy={centre} r={98} />
      <path class="mark" style={{ strokeWidth: 8 }} d={`M${centre} ${centre - 70}V${centre}L${centre + 44} ${centre + 28}`} />
    </g>
  );
}

function Shape({ amount, view }: { amount: Amount; view: ScrewView }) {
  const { control, value } = amount;
  switch (control) {
    case "focus":
      return <Knob turn={value} />;
    case "screw-a":
    case "screw-b":
    case "screw-c":
      return <Screws {...amount} turn={value} view={view} />;
    case "levers":
      return <Levers marks={value} />;
    case "roll":
      return <Roll degrees={value} />;
    case "azimuth":
      return <Arrow x={Math.sign(value)} y={0} />;
    case "cooling":
      return <Wait />;
    default:
      return <Arrow x={0} y={-Math.sign(value)} />;
  }
}

// From where the hand sees it (the ways of turning are fixed by that).
const seen_from: Record<string, string> = {
  focus: "facing the knob",
  "screw-a": "from in front of the telescope",
  "screw-b": "from in front of the telescope",
  "screw-c": "from in front of the telescope",
  roll: "from behind the camera, looking to the sky",
};

const in_camera = "on the camera's picture: turned clockwise, a screw throws the flare to its own side";

export function ControlPicture({ amount, screws }: { amount: Amount; screws?: ScrewView | undefined }) {
  const of_screws = amount.control.startsWith("screw-") && screws !== undefined;
  const view = of_screws ? in_camera : seen_from[amount.control];
  return (
    <figure class="control">
      <svg
        class="drawing"
        viewBox={`0 0 ${size} ${size}`}
        role="img"
        aria-label={`${name_of(amount.control)}: ${in_words(amount)}`}
      >
        <Shape amount={amount} view={screws ?? from_in_front} />
      </svg>
      {view && <figcaption class="quiet">Seen {view}</figcaption>}
      {amount.control === "levers" && <figcaption class="quiet">Dotted: where they stand now</figcaption>}
    </figure>
  );
}
