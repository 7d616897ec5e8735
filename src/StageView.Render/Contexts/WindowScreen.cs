namespace StageView.Render.Contexts;

/// <param name="X">Place on the desktop, screen coordinates.</param>
/// <param name="Width">Screen coordinates.</param>
/// <param name="RefreshRate">Hz.</param>
public sealed record WindowScreen(int Index, string Name, int X, int Y, int Width, int Height, int RefreshRate);
