// The faces of what is not there: waiting, a fault, nothing yet.
import type { ComponentChildren } from "preact";
import { useEffect, useState } from "preact/hooks";
import type { Fault } from "../api";
import type { Loaded } from "../load";
import { said } from "../words";

const patience_ms = 250;

// Nothing is said about a wait too short to notice.
export function Waiting({ what }: { what: string }) {
  const [long, set_long] = useState(false);
  useEffect(() => {
    const timer = setTimeout(() => set_long(true), patience_ms);
    return () => clearTimeout(timer);
  }, []);
  return <p role="status">{long ? `${what} …` : ""}</p>;
}

export function FaultFace({ fault, again }: { fault: Fault; again?: (() => void) | undefined }) {
  return (
    <div class="fault stack" role="alert">
      <h2>{said(fault.what)}</h2>
      {fault.where && <p>{fault.where}</p>}
      {fault.to_do && <p>{said(fault.to_do)}.</p>}
      {again && (
        <div>
          <button onClick={again}>Try again</button>
        </div>
      )}
    </div>
  );
}

export function Nothing({ title, children }: { title: string; children?: ComponentChildren }) {
  return (
    <div class="sheet stack">
      <h2>{title}</h2>
      {children}
    </div>
  );
}

interface LoadedFaceProps<T> {
  of: Loaded<T>;
  what: string;
  children: (value: T) => ComponentChildren;
}

export function LoadedFace<T>({ of, what, children }: LoadedFaceProps<T>) {
  if (of.fault) return <FaultFace fault={of.fault} again={of.again} />;
  if (of.value === undefined) return <Waiting what={what} />;
  return <>{children(of.value)}</>;
}
