package org.fieldwright.core.correction;

import java.util.List;
import org.jspecify.annotations.Nullable;

/**
 * How the field pulls at the trays that a change of loading touches.
 *
 * @param comingOut as they are now, in the order of their numbers
 * @param goingIn as they are to be
 */
public record TrayPulls(List<TrayPull> comingOut, List<TrayPull> goingIn) {

  public TrayPulls {
    comingOut = List.copyOf(comingOut);
    goingIn = List.copyOf(goingIn);
  }

  /** Null where the field's gradient along the trays' way is not known. */
  public static @Nullable TrayPulls of(IronSystem iron, Loading planned) {
    FieldGradient gradient = iron.gradient();
    if (gradient == null) {
      return null;
    }
    LoadingSteps steps = new LoadingSteps(iron.installed(), planned, iron);
    return new TrayPulls(
        touched(steps, TrayPull.of(iron, iron.installed(), gradient)),
        touched(steps, TrayPull.of(iron, planned, gradient)));
  }

  private static List<TrayPull> touched(LoadingSteps steps, List<TrayPull> pulls) {
    return pulls.stream().filter(p -> steps.touched(p.tray())).toList();
  }
}
