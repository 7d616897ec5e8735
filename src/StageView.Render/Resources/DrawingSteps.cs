namespace StageView.Render.Resources;

/// <summary>
/// Tells whoever waits for a picture that drawing goes on: a pass has begun, a program was compiled. Like a context it belongs to
/// the thread that draws.
/// </summary>
internal static class DrawingSteps
{
    [ThreadStatic]
    private static Action? t_made;

    /// <summary>Is told each step on this thread until it is set anew; nobody when null.</summary>
    public static void Tell(Action? made) => t_made = made;

    /// <summary>A step is done.</summary>
    public static void Made() => t_made?.Invoke();
}
