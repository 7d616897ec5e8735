namespace StageView.Render.Contexts;

public enum WindowInputKind
{
    /// <summary><see cref="WindowInput.Code"/> is a key as GLFW numbers them (printable ones by their US-layout ASCII).</summary>
    Key,

    /// <summary>X and Y are the place in the window, 0 to 1 from the top left.</summary>
    Move,

    /// <summary><see cref="WindowInput.Code"/> is the button: 0 left, 1 right, 2 middle.</summary>
    ButtonDown,

    ButtonUp,

    /// <summary>X and Y are wheel steps.</summary>
    Scroll,
}

/// <summary>One thing the user did to the window.</summary>
/// <param name="Modifiers">Bits: 1 Shift, 2 Control, 4 Alt, 8 Super.</param>
public readonly record struct WindowInput(WindowInputKind Kind, int Code, int Modifiers, double X, double Y);
