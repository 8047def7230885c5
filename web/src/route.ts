// Which page is shown: the part of the address after '#', "#page/rest". Nothing is ever asked of the network for it.
import { useEffect, useState } from "preact/hooks";

export interface Route {
  page: string;
  rest: string;
}

function read_route(): Route {
  const [page = "", ...rest] = decodeURIComponent(location.hash.slice(1)).split("/");
  return { page, rest: rest.join("/") };
}

export function go(page: string, rest = ""): void {
  location.hash = encodeURIComponent(page) + (rest ? "/" + encodeURIComponent(rest) : "");
}

export function use_route(): Route {
  const [route, set_route] = useState(read_route);
  useEffect(() => {
    const changed = () => set_route(read_route());
    addEventListener("hashchange", changed);
    return () => removeEventListener("hashchange", changed);
  }, []);
  return route;
}
