using StageView.Ground.Systems;

namespace StageView.Render.Contexts;

/// <summary>Chooses, by the system, how to draw without a window.</summary>
public static class Offscreen
{
    /// <summary>Opens a context and lets go of it again; <see cref="GlContext.Enter"/> makes it current.</summary>
    /// <exception cref="MachineCannotException">There is none with OpenGL 4.1; the message says what to install.</exception>
    public static GlContext Open() => ThisSystem.Choose<GlContext>(EglContext.Open, WglContext.Open, CglContext.Open);

    /// <summary>The interface that it is had by.</summary>
    public static string Way => ThisSystem.Choose(() => "EGL", () => "WGL", () => "CGL");
}
