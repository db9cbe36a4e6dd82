// The guide as a page by itself: it stands there in English without any script, and gets the person's language and look here.
import "./look.js";
import "./words.js";
