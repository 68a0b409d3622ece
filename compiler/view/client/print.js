// On paper the picture is a plain image on white, in the light colours, with what is written over it.

export function bindPrint(recolour, draw) {
  const root = document.documentElement;
  let before = "";

  function dress(theme, paper) {
    root.dataset.theme = theme;
    root.style.setProperty("--paper", paper);
    recolour();
    draw();
  }

  addEventListener("beforeprint", () => {
    before = root.dataset.theme ?? "";
    dress("light", "#ffffff");
    const layers = ["picture", "written"].map((id) => document.getElementById(id));
    const sheet = document.createElement("canvas");
    [sheet.width, sheet.height] = [layers[0].width, layers[0].height];
    const pen = sheet.getContext("2d");
    for (const layer of layers) pen.drawImage(layer, 0, 0);
    document.getElementById("printed").src = sheet.toDataURL("image/png");
  });
  addEventListener("afterprint", () => dress(before, ""));
}
