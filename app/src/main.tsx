import { render } from "preact";
import "./style/tokens.css";
import "./style/base.css";
import "./style/layout.css";
import { Page } from "./page";
import { keepSettings } from "./state/settings";
import { start } from "./state/start";

keepSettings();
render(<Page />, document.getElementById("page")!);
void start();
