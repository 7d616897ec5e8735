using Silk.NET.OpenGL;

namespace StageView.Render.Settings;

/// <summary>Is told what a frame does and when, for measuring: passes on what draws, steps on the processor.</summary>
internal interface IFrameWatch
{
    /// <summary>A frame begins on a context, which is current; its first step on the processor, too.</summary>
    void Start(GL gl);

    /// <summary>The calls that follow are a pass's, until another begins or <see cref="End"/>.</summary>
    /// <param name="pass">Its name.</param>
    /// <param name="mirrored">In a view behind a mirror.</param>
    void Begin(string pass, bool mirrored = false);

    /// <summary>The pass ends; what follows belongs to none.</summary>
    void End();

    /// <summary>A step on the processor ends, begun where the one before it ended.</summary>
    void Step(string step);
}
