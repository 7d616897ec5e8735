using Silk.NET.OpenGL;
using StageView.Render.Settings;

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

    /// <summary>Is told each step on this thread until it is set anew; nobody when null.</summary>
    /// <param name="made">A step is done.</param>
    /// <param name="overtaken">Asked after each part, which is then waited for; null to wait for none.</param>
    public static void Tell(Action? made, Func<bool>? overtaken = null) => (t_made, t_overtaken) = (made, overtaken);

    /// <summary>Whether parts are waited for, so that they should be small.</summary>
    public static bool InParts => t_overtaken is not null;

    /// <summary>A step is done.</summary>
    public static void Made() => t_made?.Invoke();

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
