import { render } from "preact";
import "./style/tokens.css";
import "./style/base.css";
import "./style/layout.css";
import "./style/print.css";
import { Page } from "./page";
import { keepFollowing } from "./state/calm";
import { keepBaseline } from "./state/headline";
import { keepSettings } from "./state/settings";
import { start } from "./state/start";

keepSettings();
keepBaseline();
keepFollowing();
render(<Page />, document.getElementById("page")!);
void start();
