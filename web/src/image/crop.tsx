// The picture, and on it a frame drawn with a finger; what is inside the frame can be saved as it is seen.
import { useRef, useState } from "preact/hooks";

export interface Frame {
  x: number; // in pixels of the picture as shown
  y: number;
  width: number;
  height: number;
}

const least_px = 16;

interface CropProps {
  source: string;
  alt: string;
  name: string;
  frame: Frame | undefined;
  change: (frame: Frame | undefined) => void;
}

function between(a: { x: number; y: number }, b: { x: number; y: number }): Frame {
  return { x: Math.min(a.x, b.x), y: Math.min(a.y, b.y), width: Math.abs(a.x - b.x), height: Math.abs(a.y - b.y) };
}

function save(image: HTMLImageElement, frame: Frame, name: string): void {
  const canvas = document.createElement("canvas");
  canvas.width = Math.round(frame.width);
  canvas.height = Math.round(frame.height);
  canvas.getContext("2d")?.drawImage(image, frame.x, frame.y, frame.width, frame.height, 0, 0, canvas.width, canvas.height);
  canvas.toBlob((blob) => {
    if (!blob) return;
    const link = document.createElement("a");
    link.href = URL.createObjectURL(blob);
    link.download = `${name}-cut.png`;
    link.click();
    setTimeout(() => URL.revokeObjectURL(link.href), 1000);
  });
}

export function Crop({ source, alt, name, frame, change }: CropProps) {
  const image = useRef<HTMLImageElement>(null);
  const [cutting, set_cutting] = useState(false);
  const [start, set_start] = useState<{ x: number; y: number }>();
  const [failed, set_failed] = useState("");
  const place = (event: PointerEvent) => {
    const box = image.current?.getBoundingClientRect();
    const scale = box && image.current ? image.current.naturalWidth / box.width : 1;
    return { x: (event.clientX - (box?.left ?? 0)) * scale, y: (event.clientY - (box?.top ?? 0)) * scale };
  };
  const shown_scale =
    image.current && image.current.naturalWidth > 0 ? image.current.clientWidth / image.current.naturalWidth : 1;
  return (
    <div class="stack">
      <div
        class="picture"
        style={cutting ? { touchAction: "none", cursor: "crosshair" } : {}}
        tabIndex={0}
        role="group"
        aria-label="Picture; scrolls when it is magnified"
        onPointerDown={(event) => {
          if (!cutting) return;
          event.preventDefault();
          set_start(place(event));
        }}
        onPointerMove={(event) => start && change(between(start, place(event)))}
        onPointerUp={() => {
          set_start(undefined);
          if (frame && (frame.width < least_px || frame.height < least_px)) change(undefined);
        }}
      >
        <div class="seen">
          <img ref={image} src={source} alt={alt} draggable={false} onError={() => set_failed(source)} />
          {frame && (
            <div
              class="cut"
              style={{
                left: `${frame.x * shown_scale}px`,
                top: `${frame.y * shown_scale}px`,
                width: `${frame.width * shown_scale}px`,
                height: `${frame.height * shown_scale}px`,
              }}
            />
          )}
        </div>
      </div>
      {failed === source && <p role="alert">This picture could not be read. Its file may have been moved.</p>}
      <div class="row">
        <button
          aria-pressed={cutting}
          onClick={() => {
            set_cutting(!cutting);
            change(undefined);
          }}
        >
          {cutting ? "Whole picture" : "Cut out"}
        </button>
        {cutting && !frame && <span>Draw a frame on the picture.</span>}
        {cutting && frame && (
          <button class="main" onClick={() => image.current && save(image.current, frame, name)}>
            Save {Math.round(frame.width)} × {Math.round(frame.height)}
          </button>
        )}
      </div>
    </div>
  );
}
