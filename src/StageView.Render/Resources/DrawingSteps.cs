using Silk.NET.OpenGL;
using StageView.Render.Contexts;

namespace StageView.Render.Resources;

/// <summary>
/// Tells whoever waits for a picture that drawing goes on: a pass has begun, a program was compiled; and gives the picture up where that is asked for. Like a
/// context it belongs to the thread that draws.
/// </summary>
internal static class DrawingSteps
{
    [ThreadStatic]
    private static Action? t_made;

    [ThreadStatic]
    private static Func<bool>? t_overtaken;

    [ThreadStatic]
    private static bool t_waits;

    /// <summary>Is told each step on this thread until it is set anew; nobody when null.</summary>
    /// <param name="made">A step is done.</param>
    /// <param name="overtaken">Asked after each part, which is then waited for; null to wait for none.</param>
    /// <param name="waits">Whether each view is waited for before it is told: on a rasteriser the work is done only then.</param>
    public static void Tell(Action? made, Func<bool>? overtaken = null, bool waits = false) =>
        (t_made, t_overtaken, t_waits) = (made, overtaken, waits && made is not null);

    /// <summary>Whether parts are waited for, so that they should be small.</summary>
    public static bool InParts => t_overtaken is not null;

    /// <summary>A step is done.</summary>
    public static void Made() => t_made?.Invoke();

    /// <summary>A view, such as that behind a mirror, was asked for.</summary>
    public static void View(GL gl)
    {
        if (t_waits)
        {
            gl.Finish();
        }

        Made();
    }

    /// <summary>A part of the picture was asked for: no more of it lies in the driver's queue when it is given up.</summary>
    /// <exception cref="PictureOvertakenException">The picture is not wanted any more.</exception>
    public static void Part(GL gl)
    {
        if (t_overtaken is not { } overtaken)
        {
            return;
        }

        gl.Finish();
        Made();
        if (overtaken())
        {
            throw new PictureOvertakenException();
        }
    }
}
