import { render } from "preact";
import { App } from "./app";
import { read_mode, show_mode } from "./mode";
import "uplot/dist/uPlot.min.css";
import "./style/app.css";

show_mode(read_mode()); // before the first paint: the script stands in the head

document.addEventListener("DOMContentLoaded", () => {
  const page = document.getElementById("page");
  if (page) render(<App />, page);
});
