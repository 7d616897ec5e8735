using StageView.Light.Moments;
using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>Draws a window's frames.</summary>
internal interface IWindowFrames
{
    /// <summary>The rig's cameras; the first is where a new window begins.</summary>
    void Follow(IReadOnlyList<CameraLine> cameras);

    /// <summary>Draws the moment when it is another than before.</summary>
    /// <param name="moment">The newest.</param>
    /// <param name="head">What is known of it.</param>
    /// <param name="clock">Tells the time.</param>
    /// <param name="overtaken">Asked while a fine picture is drawn: whether it is given up for another.</param>
    void Work(Moment moment, in MomentHead head, TimeProvider clock, Func<bool> overtaken);
}
