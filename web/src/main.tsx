import { render } from "preact";
import { Frame } from "./Frame";
import "./style.css";

const page = document.getElementById("page");
if (page) {
  page.textContent = "";
  render(<Frame />, page);
}
