// What came of the last thing asked of the server.
import type { Doing } from "../load";
import { FaultFace } from "./faces";

export function DoingFace({ of }: { of: Doing }) {
  if (of.fault) return <FaultFace fault={of.fault} />;
  return (
    <p role="status" aria-live="polite">
      {of.busy ? "Working …" : (of.said ?? "")}
    </p>
  );
}
