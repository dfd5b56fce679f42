// The words of the page itself, which stand there before the program speaks and after it was closed: in the language
// that the person chose on this device, or else in the browser's. A text without a translation stays English.
const fieldBookWords = (() => {
  "use strict";

  const GERMAN = {
    "Opening the field book": "Das Feldbuch wird geöffnet",
    "The field book was closed": "Das Feldbuch wurde geschlossen",
    "What was saved is safe.": "Was gespeichert war, ist sicher.",
    "Start field-app again, and open the address it prints. This page can be shut.":
      "Starte field-app neu und öffne die Adresse, die es nennt. Diese Seite kann geschlossen werden.",
    "Fetching the field book. The first time this takes a while; later it needs no network.":
      "Das Feldbuch wird geholt. Beim ersten Mal dauert das eine Weile; später braucht es kein Netz.",
    "Waking up the calculator": "Der Rechner wird geweckt",
    "Laying out the tools": "Das Werkzeug wird bereitgelegt",
    "Reading your records": "Deine Aufzeichnungen werden gelesen",
    "Drawing the first screen": "Die erste Seite wird gezeichnet",
    "The field book is open in another tab": "Das Feldbuch ist in einem anderen Tab geöffnet",
    "Records are written by one tab at a time, so that none is lost. This tab shows them as they were a moment ago.":
      "Immer nur ein Tab schreibt, damit nichts verloren geht. Dieser Tab zeigt, was vor einem Augenblick galt.",
    "Close the other tab and try again here, or go back to it.":
      "Schließe den anderen Tab und versuche es hier noch einmal, oder geh zu ihm zurück.",
    "Try again": "Noch einmal versuchen",
    "Only look": "Nur ansehen",
    "Go on": "Weiter",
    "The field book did not start": "Das Feldbuch ist nicht gestartet",
    "What was saved is safe; nothing was changed.": "Was gespeichert war, ist sicher; nichts wurde verändert.",
    "Try again. If it happens again, this line says why:":
      "Versuche es noch einmal. Geschieht es wieder, sagt diese Zeile, warum:",
    "a file is missing": "eine Datei fehlt",
    "A new version is here. Your records stay as they are; finish what you are typing first.":
      "Eine neue Version ist da. Deine Aufzeichnungen bleiben, wie sie sind; schreib erst fertig, was du gerade tippst.",
    "Use it now": "Jetzt verwenden",
    "Later": "Später",
  };

  // The client keeps what the screens remember under its own prefix, as JSON.
  const chosen = () => {
    try {
      return JSON.parse(localStorage.getItem("flutter.field-app.language") ?? '""');
    } catch {
      return ""; // a browser that keeps nothing
    }
  };

  const language = (chosen() || navigator.language || "en").slice(0, 2) === "de" ? "de" : "en";
  document.documentElement.lang = language;
  const say = (text) => (language === "de" && GERMAN[text]) || text;
  window.addEventListener("DOMContentLoaded", () => {
    const opening = document.getElementById("loading-step");
    if (opening) opening.textContent = say("Opening the field book");
  });
  return { language, say };
})();
