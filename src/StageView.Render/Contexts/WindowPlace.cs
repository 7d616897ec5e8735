namespace StageView.Render.Contexts;

/// <summary>Where a window stands, or would stand again if it didn't fill a screen.</summary>
/// <param name="X">Place on the desktop, screen coordinates.</param>
/// <param name="Y">Place on the desktop, screen coordinates.</param>
/// <param name="Width">Screen coordinates.</param>
/// <param name="Height">Screen coordinates.</param>
/// <param name="Screen">The screen that it fills, its place in <see cref="ScreenWindow.Screens"/>; -1 for none.</param>
public readonly record struct WindowPlace(int X, int Y, int Width, int Height, int Screen);
