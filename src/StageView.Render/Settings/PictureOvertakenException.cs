namespace StageView.Render.Settings;

/// <summary>A picture was given up half-way, as <see cref="RenderSettings.Overtaken"/> asked; the renderer is as good as before.</summary>
public sealed class PictureOvertakenException() : Exception("the picture was given up: it is not wanted any more");
