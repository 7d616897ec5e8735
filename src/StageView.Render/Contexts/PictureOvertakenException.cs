namespace StageView.Render.Contexts;

/// <summary>A picture was given up half-way, as whoever asked for it wanted; the renderer is as good as before.</summary>
public sealed class PictureOvertakenException() : Exception("the picture was given up: it is not wanted any more");
