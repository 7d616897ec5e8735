using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>What to draw.</summary>
internal readonly record struct DrawOrder(int Number, System.Numerics.Vector3 Position, System.Numerics.Vector3 Target, float FieldRadians, float Ev100,
    int Width, int Height, bool WorkLight, bool Quick)
{
    public static DrawOrder Of(int number, Viewpoint view) =>
        new(number, view.Position, view.Target, view.FieldRadians, view.Ev100, view.Width, view.Height, view.WorkLight, view.Quick);

    public Viewpoint ToView() => new(Position, Target, FieldRadians, Ev100, Width, Height, WorkLight, Quick);
}

/// <summary>Before the pixels of a picture.</summary>
internal readonly record struct PictureHead(int Number, int Width, int Height);

/// <param name="Marker">The level shown.</param>
/// <param name="At"><see cref="TimeProvider.GetTimestamp"/> when it stood on the screen; the same clock in both processes.</param>
internal readonly record struct ShownHead(int Marker, long At, float FrameMilliseconds);
