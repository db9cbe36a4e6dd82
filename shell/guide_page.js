// The guide as a page by itself: it stands there in English without any script, and is told in the person's language here.
import "./words.js";
